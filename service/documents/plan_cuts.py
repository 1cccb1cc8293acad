"""Stick cuts and mesh crosscuts as ``plan.json`` writes them."""

from __future__ import annotations

from collections.abc import Iterator

from service.documents import plan_models as models
from service.documents.cut_marks import crosscut_marks, rail_marks, strip_marks
from service.documents.plan_index import PlanIndex
from service.documents.plan_values import PlanValues
from solver.plan import Crosscut, CutRoll, CutStick, RollGroup, StickGroup, Strip


def stick_cut_group(
    group: StickGroup, values: PlanValues, sticks: tuple[models.StickCuts, ...]
) -> models.StickCutGroup:
    """Return one profile and colour with its sticks."""
    return models.StickCutGroup(
        profile=group.profile,
        colour=group.colour,
        joint_kerf=values.length(group.joint_kerf),
        certainty=values.certainty(group.proof),
        by_hand=values.by_hand(group.by_hand, group.proof.measure),
        sticks=sticks,
    )


def roll_cut_group(
    group: RollGroup, index: PlanIndex, values: PlanValues, rolls: tuple[models.RollCuts, ...]
) -> models.RollCutGroup:
    """Return one mesh with its rolls."""
    return models.RollCutGroup(
        mesh=group.mesh,
        crosscut_extra=values.length(index.problem.rules.crosscut_extra),
        certainty=values.certainty(group.proof),
        by_hand=values.by_hand(group.by_hand, group.proof.measure),
        rolls=rolls,
    )


def stick_cuts(group: StickGroup, index: PlanIndex, values: PlanValues) -> Iterator[models.StickCuts]:
    """Yield the sticks of a group in cutting order."""
    return (_stick(stick, group, index, values) for stick in group.sticks)


def roll_cuts(group: RollGroup, index: PlanIndex, values: PlanValues) -> Iterator[models.RollCuts]:
    """Yield the rolls of a group with their crosscuts in cutting order."""
    return (_roll(roll, index, values) for roll in group.rolls)


def _stick(stick: CutStick, group: StickGroup, index: PlanIndex, values: PlanValues) -> models.StickCuts:
    trim = index.start_trim(stick.stock)
    rails = tuple(
        models.RailCut(
            piece=index.rail_label(mark.rail),
            code=index.rail_code(mark.rail),
            opening=mark.rail.opening,
            copy=mark.rail.copy,
            place=mark.rail.place.value,
            length=values.length(mark.rail.length),
            starts_at=values.length(mark.start),
        )
        for mark in rail_marks(stick, kerf=group.joint_kerf, start_trim=trim)
    )
    return models.StickCuts(
        number=stick.number,
        stock=stick.stock,
        length=values.length(stick.length),
        start_trim=values.length(trim),
        rails=rails,
        offcut=values.length(stick.offcut),
        kept=stick.kept,
        bought=stick.bought,
        from_kit=stick.from_kit,
    )


def _roll(roll: CutRoll, index: PlanIndex, values: PlanValues) -> models.RollCuts:
    marks = crosscut_marks(roll, extra=index.problem.rules.crosscut_extra)
    return models.RollCuts(
        number=roll.number,
        stock=roll.stock,
        width=values.length(roll.width),
        length=None if roll.length is None else values.length(roll.length),
        used=values.length(roll.used),
        left=values.length(roll.left),
        kept=roll.kept,
        bought=roll.bought,
        from_kit=roll.from_kit,
        crosscuts=tuple(
            models.CrosscutCuts(
                number=crosscut.number,
                starts_at=values.length(start),
                length=values.length(crosscut.length),
                strips=_strips(crosscut, index, values),
            )
            for crosscut, start, _ in marks
        ),
    )


def _strips(crosscut: Crosscut, index: PlanIndex, values: PlanValues) -> tuple[models.StripCuts, ...]:
    return tuple(
        models.StripCuts(
            width=values.length(strip.width),
            starts_at=values.length(start),
            blanks=_blanks(strip, index, values),
        )
        for strip, start, _ in strip_marks(crosscut, selvage=index.problem.rules.selvage_trim)
    )


def _blanks(strip: Strip, index: PlanIndex, values: PlanValues) -> tuple[models.BlankCut, ...]:
    return tuple(
        models.BlankCut(
            piece=index.blank_label(blank),
            code=index.blank_code(blank),
            opening=blank.opening,
            copy=blank.copy,
            across=values.length(blank.across),
            along=values.length(blank.along),
            turned=blank.turned,
        )
        for blank in strip.blanks
    )
