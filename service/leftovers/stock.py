"""Between the rack and a job: pieces as stock on hand, what a plan takes of them, and what it leaves over."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from itertools import repeat

from service.documents.pieces import mesh_leftover_code, offcut_code, rest_numbers
from service.leftovers.records import NewPiece, RackPiece, is_code
from solver.catalogue import Catalogue, RollStock, StickStock
from solver.handed_over import HandedOver
from solver.lengths import Ticks
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.finished import stock_when_finished
from solver.revision.handing_over import struck
from solver.revision.leftover_names import OWN
from solver.revision.record import Revision


def with_rack(problem: Problem, pieces: Iterable[RackPiece]) -> Problem:
    """Return a job whose stock on hand has these pieces too, each under its id; those of no use to it are left out."""
    profiles = {profile.name for profile in problem.catalogue.profiles}
    meshes = {mesh.name for mesh in problem.catalogue.meshes}
    here = {stick.name for stick in problem.catalogue.sticks} | {roll.name for roll in problem.catalogue.rolls}
    sticks, rolls = [], []
    for piece in pieces:
        if piece.id in here:
            continue
        if piece.mesh in meshes:
            rolls.append(
                RollStock(
                    name=piece.id,
                    mesh=piece.mesh,
                    width=piece.width,
                    length=piece.length,
                    on_sale=False,
                    on_hand=1,
                    leftover=True,
                    source=piece.place,
                )
            )
        elif piece.profile in profiles:
            sticks.append(
                StickStock(
                    name=piece.id,
                    profile=piece.profile,
                    colour=piece.colour,
                    length=piece.length,
                    on_sale=False,
                    on_hand=1,
                    leftover=True,
                    both_ends_clean=piece.both_ends_clean,
                    source=piece.place,
                )
            )
    catalogue = problem.catalogue
    catalogue = replace(catalogue, sticks=(*catalogue.sticks, *sticks), rolls=(*catalogue.rolls, *rolls))
    return replace(problem, catalogue=catalogue)


def without_others(problem: Problem, pieces: Iterable[RackPiece], own: Collection[str]) -> Problem:
    """Return a revision's job with the rack as it is now: pieces that went elsewhere fall out, new ones come in.

    ``own`` are the pieces the plan at hand cuts; they stay whatever became of them on the rack.
    """
    lying = list(pieces)
    kept = {piece.id for piece in lying} | set(own)
    catalogue = problem.catalogue
    sticks = tuple(stick for stick in catalogue.sticks if stick.name in kept or not is_code(stick.name))
    rolls = tuple(roll for roll in catalogue.rolls if roll.name in kept or not is_code(roll.name))
    return with_rack(replace(problem, catalogue=replace(catalogue, sticks=sticks, rolls=rolls)), lying)


def with_present_rack(before: Revision, pieces: Iterable[RackPiece]) -> Revision:
    """Return a revision as it is to be revised: with what is free on the rack now, and what its own plan takes."""
    own = taken_from_rack(before.plan, pieces_on_hand(before.problem))
    return replace(before, problem=without_others(before.problem, pieces, own))


def without_handed_over(before: Revision, pieces: Iterable[RackPiece]) -> Revision:
    """Return a revision as it is to be asked about: without own leftovers that the rack has taken over since."""
    waiting = [piece for piece in as_handed_over(pieces) if piece.code not in before.struck]
    catalogue, _ = struck(before.problem.catalogue, waiting)
    return replace(before, problem=replace(before.problem, catalogue=catalogue))


def as_handed_over(pieces: Iterable[RackPiece]) -> tuple[HandedOver, ...]:
    """Return confirmed pieces as the job that left them over lists them."""
    handed = []
    for piece in pieces:
        number, crosscut = rest_numbers(piece.label)
        handed.append(
            HandedOver(
                code=piece.id,
                length=piece.planned,
                profile=piece.profile,
                colour=piece.colour,
                mesh=piece.mesh,
                width=piece.width,
                both_ends_clean=piece.both_ends_clean,
                number=number,
                crosscut=crosscut,
            )
        )
    return tuple(handed)


def pieces_on_hand(problem: Problem) -> set[str]:
    """Return the codes of the rack's pieces that lie there for a job, whole."""
    names = [stick.name for stick in problem.catalogue.sticks if stick.on_hand]
    names += [roll.name for roll in problem.catalogue.rolls if roll.on_hand]
    return {name for name in names if is_code(name)}


def taken_from_rack(plan: Plan, ids: Collection[str]) -> list[str]:
    """Return which of these pieces a plan cuts, in the order of the plan."""
    names = [stick.stock for group in plan.stick_groups for stick in group.sticks if not stick.bought]
    names += [roll.stock for group in plan.roll_groups for roll in group.rolls if not roll.bought]
    wanted = set(ids)
    return [name for name in dict.fromkeys(names) if name in wanted]


def left_over(problem: Problem, plan: Plan) -> list[NewPiece]:
    """Return what a finished job leaves over: offcuts, spare rails, roll ends, side strips, over all its revisions.

    Lengths are as planned; the rack takes them as expected and wants them
    measured.
    """
    after = stock_when_finished(problem, plan)
    source = problem.name[:120]
    labels = _labels(problem, plan)
    pieces = [
        NewPiece(
            profile=stick.profile,
            colour=stick.colour,
            length=stick.length,
            both_ends_clean=stick.both_ends_clean,
            source=source,
            label=_next(labels, (stick.profile, stick.colour, Ticks(0), stick.length, stick.both_ends_clean)),
        )
        for stick in after.sticks
        if stick.leftover and stick.name.startswith(OWN)
        for _ in range(stick.on_hand)
    ]
    pieces += [
        NewPiece(
            mesh=roll.mesh,
            width=roll.width,
            length=roll.length or Ticks(0),
            source=source,
            label=_next(labels, (roll.mesh, "", roll.width, roll.length or Ticks(0), False)),
        )
        for roll in after.rolls
        if roll.name.startswith(OWN)
        for _ in range(roll.on_hand)
    ]
    return pieces


def own_lying(catalogue: Catalogue, job_name: str) -> Iterator[NewPiece]:
    """Yield a job's own leftovers that lie there already, cut; no label of the plan names them."""
    source = job_name[:120]
    for stick in catalogue.sticks:
        if stick.leftover and stick.name.startswith(OWN):
            ends = stick.both_ends_clean
            piece = NewPiece(
                profile=stick.profile, colour=stick.colour, length=stick.length, both_ends_clean=ends, source=source
            )
            yield from repeat(piece, stick.on_hand)
    for roll in catalogue.rolls:
        if roll.name.startswith(OWN) and roll.length is not None:
            yield from repeat(
                NewPiece(mesh=roll.mesh, width=roll.width, length=roll.length, source=source), roll.on_hand
            )


_Sort = tuple[str, str, Ticks, Ticks, bool]


def _labels(problem: Problem, plan: Plan) -> dict[_Sort, list[str]]:
    """Return the codes of what a plan leaves over, by sort and size; small pieces have one too, though none is printed.

    By its code a piece is known whatever becomes of its size.
    """
    labels: dict[_Sort, list[str]] = defaultdict(list)
    clean = {stick.name for stick in problem.catalogue.sticks if stick.both_ends_clean}
    for number, group in enumerate(plan.stick_groups, start=1):
        for stick in group.sticks:
            if stick.offcut > 0:
                both_ends = stick.stock in clean and not stick.from_kit
                sort = (group.profile, group.colour, Ticks(0), stick.offcut, both_ends)
                labels[sort].append(offcut_code(number, stick.number))
    for number, mesh_group in enumerate(plan.roll_groups, start=1):
        for roll in mesh_group.rolls:
            if roll.left > 0:
                code = mesh_leftover_code(number, roll.number, None)
                labels[mesh_group.mesh, "", roll.width, roll.left, False].append(code)
        for piece in mesh_group.leftovers:
            if piece.crosscut is not None:
                code = mesh_leftover_code(number, piece.roll, piece.crosscut)
                labels[mesh_group.mesh, "", piece.width, piece.length, False].append(code)
    return labels


def _next(labels: dict[_Sort, list[str]], sort: _Sort) -> str:
    return labels[sort].pop(0) if labels.get(sort) else ""
