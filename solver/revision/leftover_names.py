"""Stock lists while pieces come back: equal pieces add up, each sort under a name of its own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from solver.catalogue import RollStock, StickStock
from solver.lengths import Ticks, Unit, length_text

OWN = "this job's "
"""How the names of a job's own leftovers begin; they join their equals, what lay on the rack before stays as listed."""

_StickSort = tuple[str, str, int, bool, bool]
_RollSort = tuple[str, int, int]


class StickRack:
    """Sticks on sale and on hand; what comes back joins its equals."""

    def __init__(self, sticks: Iterable[StickStock], unit: Unit) -> None:
        self._sticks = {stick.name: stick for stick in sticks}
        self._unit = unit
        self._sorts = {_stick_sort(stick): stick.name for stick in self._sticks.values() if stick.name.startswith(OWN)}

    def put(self, stick: StickStock) -> None:
        """Replace a record by its name."""
        self._sticks[stick.name] = stick

    def named(self, name: str) -> StickStock:
        """Return a record by its name."""
        return self._sticks[name]

    def has(self, name: str) -> bool:
        """Return whether a record of that name is listed."""
        return name in self._sticks

    def add(
        self, profile: str, colour: str, length: Ticks, count: int, *, leftover: bool, both_ends_clean: bool = False
    ) -> str:
        """Lay equal pieces on the rack and return the name they have there."""
        sort = (profile, colour, length, leftover, both_ends_clean)
        if sort in self._sorts:
            there = self._sticks[self._sorts[sort]]
            self._sticks[there.name] = replace(there, on_hand=there.on_hand + count)
            return there.name
        kind = "cut rail" if both_ends_clean else "offcut" if leftover else "kit stick"
        words = f"{OWN}{kind} {length_text(length, self._unit)} {profile} {colour}".strip()
        name = _unused(words, self._sticks)
        self._sorts[sort] = name
        self._sticks[name] = StickStock(
            name=name,
            profile=profile,
            colour=colour,
            length=length,
            on_sale=False,
            on_hand=count,
            leftover=leftover,
            both_ends_clean=both_ends_clean,
        )
        return name

    def listed(self) -> tuple[StickStock, ...]:
        """Return every record but leftovers that are used up."""
        return tuple(stick for stick in self._sticks.values() if stick.on_hand or not stick.leftover)


class RollRack:
    """Rolls on sale and on hand; what comes back joins its equals."""

    def __init__(self, rolls: Iterable[RollStock], unit: Unit) -> None:
        self._rolls = {roll.name: roll for roll in rolls}
        self._unit = unit
        self._sorts: dict[_RollSort, str] = {
            (roll.mesh, roll.width, roll.length): roll.name
            for roll in self._rolls.values()
            if roll.name.startswith(OWN) and roll.length is not None
        }

    def put(self, roll: RollStock) -> None:
        """Replace a record by its name."""
        self._rolls[roll.name] = roll

    def named(self, name: str) -> RollStock:
        """Return a record by its name."""
        return self._rolls[name]

    def has(self, name: str) -> bool:
        """Return whether a record of that name is listed."""
        return name in self._rolls

    def add(self, mesh: str, width: Ticks, length: Ticks, count: int) -> str:
        """Lay equal pieces of mesh on the rack and return the name they have there."""
        sort = (mesh, width, length)
        if sort in self._sorts:
            there = self._rolls[self._sorts[sort]]
            self._rolls[there.name] = replace(there, on_hand=there.on_hand + count)
            return there.name
        size = f"{length_text(width, self._unit)} x {length_text(length, self._unit)}"
        name = _unused(f"{OWN}mesh {size} {mesh}".strip(), self._rolls)
        self._sorts[sort] = name
        self._rolls[name] = RollStock(
            name=name, mesh=mesh, width=width, length=length, on_sale=False, on_hand=count, leftover=True
        )
        return name

    def listed(self) -> tuple[RollStock, ...]:
        """Return every record but leftovers that are used up."""
        return tuple(roll for roll in self._rolls.values() if roll.on_hand or not roll.leftover)


def _stick_sort(stick: StickStock) -> _StickSort:
    return (stick.profile, stick.colour, stick.length, stick.leftover, stick.both_ends_clean)


def _unused(words: str, names: Iterable[str]) -> str:
    taken = set(names)
    name, number = words, 1
    while name in taken:
        number += 1
        name = f"{words} ({number})"
    return name
