"""What a plan or revision means for the rack, as it crosses from the child that planned to the ledger."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from service.leftovers.records import NewPiece, RackPiece, is_code
from service.leftovers.stock import left_over, own_lying, pieces_on_hand, taken_from_rack
from solver.events import NotThere
from solver.revision.record import Revision


@dataclass(frozen=True, kw_only=True, slots=True)
class Settlement:
    """Which pieces a plan is to cut, which are begun by now, and what it leaves over when all is cut.

    ``taken`` and ``begun`` are codes of pieces, ``gone`` those that were listed and not found.
    ``struck`` are confirmed pieces that the job does not count among its own any more,
    ``lying`` the own leftovers that are there already, cut and left alone so far.
    """

    taken: tuple[str, ...] = ()
    begun: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    left: tuple[NewPiece, ...] = ()
    struck: tuple[str, ...] = ()
    lying: tuple[NewPiece, ...] = ()


def settlement(revision: Revision) -> Settlement:
    """Return what a revision means for the rack, over its whole chain.

    Pieces that were on hand and are not any more are begun, but for those that
    events say were not found.
    """
    here = pieces_on_hand(revision.problem)
    gone = {event.stock for event in revision.events if isinstance(event, NotThere) and is_code(event.stock)}
    return Settlement(
        taken=tuple(taken_from_rack(revision.plan, here)),
        begun=tuple(name for name in revision.begun if is_code(name)),
        gone=tuple(sorted(gone)),
        left=tuple(left_over(revision.problem, revision.plan)),
        struck=revision.struck,
        lying=tuple(own_lying(revision.problem.catalogue, revision.problem.name)),
    )


def unaccounted(handed_over: Iterable[RackPiece], plan: Settlement) -> list[RackPiece]:
    """Return the confirmed pieces of a job that a plan knows nothing of: it may cut them, or never leave them over.

    A plan accounts for a piece that it has struck from its own, and for one that it leaves over as it was listed:
    under its own label, or under none.
    """
    left = list(plan.left)
    unknown = []
    for piece in handed_over:
        if piece.id in plan.struck:
            continue
        alike = [new for new in left if sort_of(new) == sort_of(replace(piece, length=piece.planned))]
        same = next((new for new in alike if new.label == piece.label), None)
        same = same or next((new for new in alike if not new.label or not piece.label), None)
        if same is None:
            unknown.append(piece)
        else:
            left.remove(same)
    return unknown


def sort_of(piece: NewPiece | RackPiece) -> tuple[object, ...]:
    """Return what two pieces have in common that are equal to every plan."""
    return (piece.profile, piece.colour, piece.mesh, piece.width, piece.length, piece.both_ends_clean)
