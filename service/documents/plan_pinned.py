"""What was cut before and stays, as ``plan.json`` writes it."""

from __future__ import annotations

from collections.abc import Iterator

from service.documents import plan_models as models
from service.documents.pieces import MESH
from service.documents.plan_index import PlanIndex
from service.documents.plan_values import PlanValues


def pinned_pieces(index: PlanIndex, values: PlanValues) -> Iterator[models.PinnedPiece]:
    """Yield the rails, then the mesh blanks that were cut before."""
    for rail in index.problem.pinned_rails:
        yield models.PinnedPiece(
            piece=index.label(rail.opening, rail.copy, rail.place),
            code=index.code(rail.opening, rail.copy, rail.place),
            opening=rail.opening,
            copy=rail.copy,
            place=rail.place.value,
            length=values.length(rail.length),
            width=None,
            height=None,
        )
    for blank in index.problem.pinned_blanks:
        yield models.PinnedPiece(
            piece=index.label(blank.opening, blank.copy, None),
            code=index.code(blank.opening, blank.copy, None),
            opening=blank.opening,
            copy=blank.copy,
            place=MESH,
            length=None,
            width=values.length(blank.width),
            height=values.length(blank.height),
        )
