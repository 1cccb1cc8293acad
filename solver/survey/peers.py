"""The usual size of a type or of a stack, by median and median absolute deviation."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass

from solver.frames import counting_reading
from solver.lengths import Ticks
from solver.openings import Opening
from solver.problem import Problem

LEAST_PEERS = 3
_MAD_TO_SIGMA = (14_826, 10_000)
_MODIFIED_Z = (35, 10)
_SEGMENTS = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True)
class Usual:
    """What openings alike usually measure: ``group`` in words, how many, and for each side median and allowance.

    A reading that differs from the median by more than the allowance is unusual.
    ``steady`` says that at least half of them agree to the tick on both sides.
    """

    group: str
    count: int
    width: Ticks
    height: Ticks
    width_allowance: Ticks
    height_allowance: Ticks
    steady: bool


def usual_sizes(problem: Problem) -> dict[int, Usual]:
    """Return, by the place of an opening in the job, what its type or else its stack usually measures.

    A type is what the openings say; a stack is the same window of the same unit
    line on the floors of one building (304, 404, 504). Openings measured from
    different datums are not compared. Groups of fewer than three, and groups so
    mixed that they have no usual size, check nobody.

    References
    ----------
    Modified z-score 0.6745 (x - median) / MAD over 3.5: Iglewicz and Hoaglin, How
    to Detect and Handle Outliers (1993). Never less than the rule
    ``type_deviation``: common practice, no source.
    """
    usual: dict[int, Usual] = {}
    least = problem.rules.type_deviation
    stacks = _grouped(problem.openings, _stack_keys(problem.openings))
    types = _grouped(problem.openings, ((opening.window_type, "type") for opening in problem.openings))
    for groups in (stacks, types):
        for key, members in groups.items():
            measured = _measured([problem.openings[number] for number in members], _group_words(key), least)
            if measured is not None:
                usual.update(dict.fromkeys(members, measured))
    return usual


def _grouped(
    openings: tuple[Opening, ...], keys: Iterable[tuple[str, Hashable]]
) -> dict[tuple[Hashable, ...], list[int]]:
    groups: dict[tuple[Hashable, ...], list[int]] = defaultdict(list)
    for number, (opening, key) in enumerate(zip(openings, keys, strict=True)):
        if key[0]:
            groups[(*key, opening.width_datum, opening.height_datum)].append(number)
    return {key: members for key, members in groups.items() if len(members) >= LEAST_PEERS}


def _group_words(key: tuple[Hashable, ...]) -> str:
    return f"type {key[0]}" if key[1] == "type" else f"stack {key[0]}"


def _stack_keys(openings: tuple[Opening, ...]) -> list[tuple[str, Hashable]]:
    """Return, for each opening, its stack in words and the window within it; empty where the place is not given."""
    rooms = Counter((opening.building, opening.floor, opening.unit, opening.room.casefold()) for opening in openings)
    keys: list[tuple[str, Hashable]] = []
    for opening in openings:
        line = unit_line(opening.unit)
        if not line:
            keys.append(("", ()))
            continue
        room = opening.room.casefold()
        alone = rooms[opening.building, opening.floor, opening.unit, room] == 1
        place = f"{opening.building} x{line}".strip() + (f" {opening.room}" if room else "")
        keys.append((place, (room, () if alone else _window(opening))))
    return keys


def unit_line(unit: str) -> str:
    """Return what the number of a unit shares with those above and below it.

    Examples
    --------
    >>> unit_line("304"), unit_line("1204"), unit_line("3B"), unit_line("7")
    ('04', '04', 'B', '')
    """
    text = unit.strip()
    if len(text) >= 3 and text[-2:].isdigit():
        return text[-2:]
    if len(text) >= 2 and text[-1].isalpha() and text[:-1].isdigit():
        return text[-1].upper()
    return ""


def _window(opening: Opening) -> tuple[str, ...]:
    """Return what is left of a label when the place is taken out: the window within its room."""
    place = {opening.building.casefold(), opening.floor.casefold(), opening.unit.casefold(), opening.room.casefold()}
    return tuple(word for word in _SEGMENTS.findall(opening.label.casefold()) if word not in place)


def _measured(openings: list[Opening], group: str, least: Ticks) -> Usual | None:
    widths = [counting_reading(opening.widths, opening.width_datum) for opening in openings]
    heights = [counting_reading(opening.heights, opening.height_datum) for opening in openings]
    width, width_deviation = _median_and_deviation(widths)
    height, height_deviation = _median_and_deviation(heights)
    if max(width_deviation, height_deviation) > least:
        return None
    return Usual(
        group=group,
        count=len(openings),
        width=width,
        height=height,
        width_allowance=max(least, _allowance(width_deviation)),
        height_allowance=max(least, _allowance(height_deviation)),
        steady=width_deviation == 0 and height_deviation == 0,
    )


def _median_and_deviation(readings: list[Ticks]) -> tuple[Ticks, Ticks]:
    """Return the lower median, which is a reading somebody took, and the median absolute deviation from it."""
    middle = (len(readings) - 1) // 2
    median = sorted(readings)[middle]
    return median, Ticks(sorted(abs(reading - median) for reading in readings)[middle])


def _allowance(deviation: Ticks) -> Ticks:
    return Ticks(deviation * _MAD_TO_SIGMA[0] * _MODIFIED_Z[0] // (_MAD_TO_SIGMA[1] * _MODIFIED_Z[1]))
