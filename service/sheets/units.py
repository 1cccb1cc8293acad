"""In which unit bare numbers are meant, where neither heading nor settings say so."""

from __future__ import annotations

import statistics
from dataclasses import dataclass

from service.sheets.cells import Shape, Shown, Table, address
from service.sheets.columns import Content
from service.sheets.headings import Heading
from solver.lengths import inches
from solver.lengths import ticks as _ticks
from solver.notation import Understood, read_length
from solver.notation.tidy import tidy

_SAMPLE = 5_000


@dataclass(frozen=True, slots=True)
class UnitEvidence:
    """What a table tells of its unit: the unit, whether beyond doubt, and the cell that shows it.

    ``unit`` is empty where no bare number needs one.
    """

    unit: str
    sure: bool
    cell: str
    why: str


def unit_evidence(table: Table, heading: Heading) -> UnitEvidence:
    """Return in which unit the bare numbers of the size columns are meant.

    A tape fraction shows inches, numbers too large for inches show millimetres;
    anything else is a matter for a question.
    """
    numbers: list[float] = []
    tape = ""
    columns = [
        bound.index for bound in heading.columns if bound.column.content is Content.OPENING_LENGTH and not bound.unit
    ]
    for number, values in table.rows[:_SAMPLE]:
        if number <= heading.row:
            continue
        for index in columns:
            value = values[index] if index < len(values) else None
            if isinstance(value, float) and not isinstance(value, bool):
                numbers.append(value)
            elif isinstance(value, Shown) and value.shape is Shape.UNIT and value.unit in {"in", "ft"}:
                tape = tape or address(number, index)
            elif isinstance(value, str):
                for plain in tidy(value).split(" x "):
                    try:
                        numbers.append(float(plain))
                    except ValueError:
                        if not tape and _is_tape(plain):
                            tape = address(number, index)
    if not numbers:
        return UnitEvidence("in" if tape else "", sure=True, cell=tape, why="a tape fraction")
    if tape:
        return UnitEvidence("in", sure=True, cell=tape, why="a tape fraction")
    middle = statistics.median(numbers)
    if min(numbers) > inches(240) / _ticks(1, "in"):
        return UnitEvidence("mm", sure=True, cell="", why="numbers too large for inches")
    return UnitEvidence("mm" if middle > 200 else "in", sure=False, cell="", why="")


def _is_tape(plain: str) -> bool:
    return ("/" in plain or '"' in plain) and isinstance(read_length(plain, unit=""), Understood)
