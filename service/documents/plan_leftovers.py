"""What the plan leaves over, and what that would still make, as ``plan.json`` writes it."""

from __future__ import annotations

from service.documents import plan_models as models
from service.documents.leftovers import kept_mesh, kept_offcuts
from service.documents.pieces import mesh_leftover_code, offcut_code
from service.documents.plan_values import PlanValues
from solver.plan import Plan


def worth_keeping(plan: Plan, values: PlanValues) -> models.Leftovers:
    """Return the stick offcuts and mesh pieces worth putting back on the rack."""
    sticks = tuple(
        models.StickOffcut(
            profile=kept.profile,
            colour=kept.colour,
            length=values.length(kept.length),
            count=len(kept.sticks),
            sticks=kept.sticks,
            codes=tuple(offcut_code(kept.group, number) for number in kept.sticks),
        )
        for kept in kept_offcuts(plan)
    )
    pieces = tuple(
        models.MeshPiece(
            mesh=kept.mesh,
            stock=kept.piece.stock,
            roll=kept.piece.roll,
            crosscut=kept.piece.crosscut,
            code=mesh_leftover_code(kept.group, kept.piece.roll, kept.piece.crosscut),
            width=values.length(kept.piece.width),
            length=values.length(kept.piece.length),
        )
        for kept in kept_mesh(plan)
    )
    return models.Leftovers(sticks=sticks, mesh=pieces)


def still_possible(plan: Plan, values: PlanValues) -> tuple[models.ScreenFromLeftovers, ...]:
    """Return the screens that the leftovers would make."""
    return tuple(
        models.ScreenFromLeftovers(
            profile=made.profile,
            colour=made.colour,
            mesh=made.mesh,
            frame_width=values.length(made.frame_width),
            frame_height=values.length(made.frame_height),
            count=made.count,
            largest=made.largest,
            hardware_to_buy=tuple(values.need(need) for need in made.missing),
        )
        for made in plan.still_possible
    )
