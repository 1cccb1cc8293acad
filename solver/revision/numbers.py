"""Numbers of sticks, rolls and crosscuts through a chain of revisions: what is cut as planned before keeps its number.

A number is on labels and papers in the shop, so none is given twice: what is
new is numbered on behind the highest number that any revision gave.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from solver.parts import BasketGroup, Group
from solver.plan import Crosscut, CutRoll, Plan, RollGroup, StickGroup
from solver.revision.choosing import old_numbers
from solver.revision.stock import StandingRoll, StandingStick

Highest = Mapping[str, int]
"""The highest number given in a group so far, by :func:`group_name`."""


def group_name(group: StickGroup | RollGroup, of: str) -> str:
    """Return what a group's sticks, rolls or crosscuts are counted under."""
    if isinstance(group, StickGroup):
        return f"{of} {group.profile} {group.colour}".strip()
    return f"{of} {group.mesh}"


def highest_numbers(plan: Plan, before: Highest) -> dict[str, int]:
    """Return the highest numbers given up to a plan."""
    highest = dict(before)
    for name, number in _numbers(plan):
        highest[name] = max(highest.get(name, 0), number)
    return highest


def _numbers(plan: Plan) -> Iterator[tuple[str, int]]:
    for group in plan.stick_groups:
        for stick in group.sticks:
            yield group_name(group, "stick"), stick.number
    for mesh_group in plan.roll_groups:
        for roll in mesh_group.rolls:
            yield group_name(mesh_group, "roll"), roll.number
            for cut in roll.crosscuts:
                yield group_name(mesh_group, "crosscut"), cut.number


def as_numbered_before(
    group: Group, old: Sequence[StandingStick], rolls: Sequence[StandingRoll], highest: Highest
) -> Group:
    """Return a group in which every stick, roll and crosscut that stood before has the number it had."""
    if isinstance(group, BasketGroup):
        return replace(
            group,
            stick_groups=tuple(_sticks(each, old, highest) for each in group.stick_groups),
            roll_groups=tuple(_rolls(each, rolls, highest) for each in group.roll_groups),
        )
    return _sticks(group, old, highest) if isinstance(group, StickGroup) else _rolls(group, rolls, highest)


class _Counting:
    """Gives new numbers behind the highest."""

    def __init__(self, highest: int) -> None:
        self._highest = highest

    def number(self, was: int | None) -> int:
        if was is not None:
            return was
        self._highest += 1
        return self._highest


def _sticks(group: StickGroup, old: Sequence[StandingStick], highest: Highest) -> StickGroup:
    counting = _Counting(highest.get(group_name(group, "stick"), 0))
    were = [was for _, _, was in old_numbers(group, old, ())]
    sticks = [replace(stick, number=counting.number(was)) for stick, was in zip(group.sticks, were, strict=True)]
    return replace(group, sticks=tuple(sorted(sticks, key=lambda stick: stick.number)))


def _rolls(group: RollGroup, old: Sequence[StandingRoll], highest: Highest) -> RollGroup:
    were = iter([was for _, _, was in old_numbers(group, (), old)])
    from_roll = {cut.number: roll.number for roll in old if roll.mesh == group.mesh for cut in roll.crosscuts}
    crosscuts = _Counting(highest.get(group_name(group, "crosscut"), 0))
    numbers = _Counting(highest.get(group_name(group, "roll"), 0))
    taken: set[int] = set()
    renamed: dict[tuple[int, int | None], tuple[int, int | None]] = {}
    rolls: list[CutRoll] = []
    for roll in group.rolls:
        was_cuts = [next(were) for _ in roll.crosscuts]
        homes = [from_roll[was] for was in was_cuts if was is not None]
        home = next((number for number in homes if number not in taken), None)
        number = numbers.number(home)
        taken.add(number)
        cuts: list[Crosscut] = []
        for cut, was in zip(roll.crosscuts, was_cuts, strict=True):
            cuts.append(replace(cut, number=crosscuts.number(was)))
            renamed[roll.number, cut.number] = (number, cuts[-1].number)
        renamed[roll.number, None] = (number, None)
        ordered = tuple(sorted(cuts, key=lambda cut: cut.number))
        rolls.append(replace(roll, number=number, crosscuts=ordered))
    leftovers = []
    for piece in group.leftovers:
        at = renamed[piece.roll, piece.crosscut]
        leftovers.append(replace(piece, roll=at[0], crosscut=at[1]))
    return replace(
        group,
        rolls=tuple(sorted(rolls, key=lambda roll: roll.number)),
        leftovers=tuple(sorted(leftovers, key=lambda piece: (piece.roll, piece.crosscut is not None, piece.crosscut))),
    )
