"""Sizes in two columns: whole inches in one, the fraction in the next."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, replace
from fractions import Fraction

from service.sheets.cells import Fault, Table, Value, cell_text
from service.sheets.columns import Content
from service.sheets.headings import Bound, Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.length_cells import LengthCells, Role, fault_verdict
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong
from solver.lengths import inches, ticks
from solver.notation import Comma
from solver.notation.tidy import tidy

_NAMED = re.compile(r"(?:.* )?(?:fractions?|fract\.?|frac\.?|fr\.?|inch fraction|bruch)")
_COUNTED = re.compile(r"(?:.* )?(?:(?:x ?|1)?/ ?(2|4|8|16|32|64)(?:ths?|nds?)?|(2|4|8|16|32|64)(?:ths?|nds?))")
_IN_WORDS = re.compile(r"(?:.* )?(quarter|eighth|sixteenth|thirty-second)s?")
_WORDS = {"quarter": 4, "eighth": 8, "sixteenth": 16, "thirty-second": 32}
_FRACTION = re.compile(r"[0-9]{1,2} ?/ ?[0-9]{1,2}\"?")
_SAMPLE = 500
_SPLIT = {Content.OPENING_LENGTH, Content.SMALL_LENGTH, Content.STOCK_LENGTH}


@dataclass(frozen=True, slots=True)
class FractionCells:
    """Reads the fraction column of a split size; ``denominator`` is 0 where cells are whole fractions such as 5/8."""

    denominator: int = 0
    comma: Comma = Comma.UNKNOWN

    def __call__(self, value: Value) -> CellVerdict:
        """Return the verdict on one fraction of an inch."""
        if isinstance(value, Fault):
            return fault_verdict(value)
        if self.denominator and (count := _count(value)) is not None:
            if count < self.denominator:
                return Held(ticks(Fraction(count, self.denominator), "in"))
            return Wrong(f"{count} is no number of {self.denominator}ths below one inch; write the inches beside it")
        if isinstance(value, str) and tidy(value) in {"-", "0", "none"}:
            return Held(inches(0))
        verdict = LengthCells("in", Role.SMALL, self.comma)(value)
        if isinstance(verdict, Held) and verdict.value >= inches(1):
            return Wrong(f"{cell_text(value)} is no fraction below one inch; write for example 5/8")
        return verdict


def with_fractions(table: Table, heading: Heading, ledger: Ledger) -> Heading:
    """Return the heading with fraction columns tied to the whole inches left of them.

    A column counts as one by its heading, or, where it has none of its own, by
    what stands in it; the latter is said.
    """
    columns = {bound.index: bound for bound in heading.columns}
    unknown = dict(heading.unknown)
    for index in sorted({bound.index + 1 for bound in heading.columns if _can_be_split(bound)}):
        whole = columns.get(index - 1)
        if whole is None or whole.part_of is not None:
            continue
        text = unknown.get(index, "")
        denominator = _denominator_of(text) if text else None
        same_field = index in columns and columns[index].column.field == whole.column.field
        if denominator is None and (not text or same_field) and (same_field or index not in columns):
            denominator = _by_cells(table, heading, whole, index, ledger)
        if denominator is None:
            continue
        unknown.pop(index, None)
        tied = Bound(index, whole.column, "in", text or whole.heading, part_of=whole.index, denominator=denominator)
        columns[index] = tied
        columns[whole.index] = replace(whole, unit=whole.unit or "in")
    ordered = tuple(columns[index] for index in sorted(columns))
    return replace(heading, columns=ordered, unknown=tuple(sorted(unknown.items())))


def _can_be_split(bound: Bound) -> bool:
    return bound.column.content in _SPLIT and bound.column.field != "size"


def _denominator_of(text: str) -> int | None:
    plain = tidy(text).strip(" ()[]\"'")
    if _NAMED.fullmatch(plain):
        return 0
    if counted := _COUNTED.fullmatch(plain):
        return int(counted[1] or counted[2])
    if worded := _IN_WORDS.fullmatch(plain):
        return _WORDS[worded[1]]
    return None


def _by_cells(table: Table, heading: Heading, whole: Bound, index: int, ledger: Ledger) -> int | None:
    """Tell a fraction column by its cells; ask where they are bare whole numbers."""
    place = Place(table.name, heading.row, index)
    pairs = [
        (values[whole.index], values[index])
        for number, values in table.rows[:_SAMPLE]
        if number > heading.row and index < len(values) and values[index] is not None
    ]
    if not pairs or not all(_is_whole(left) for left, _ in pairs):
        return None
    if all(_is_fraction(right) or _is_nothing(right) for _, right in pairs) and any(
        _is_fraction(right) and not _is_nothing(right) for _, right in pairs
    ):
        ledger.notice(place, f"read as the fraction of {whole.heading}, by what stands below")
        return 0
    counts = [_count(right) for _, right in pairs]
    if index in {bound.index for bound in heading.columns} or any(count is None or count > 15 for count in counts):
        return None
    message = (
        f"this column without a heading stands right of {whole.heading}; write 16ths if it counts sixteenths, or skip"
    )

    def read(value: Value) -> CellVerdict:
        text = cell_text(value).strip().casefold()
        if text in {"skip", "no"}:
            return Held(None)
        denominator = _denominator_of(text)
        return Held(denominator) if denominator is not None else Wrong(f"{cell_text(value)}: write 16ths, 8ths or skip")

    held = ledger.ask(place, Asked("fraction column", message, "16ths"), read)
    return held.value if held is not None else None


def _is_whole(value: Value) -> bool:
    if isinstance(value, str):
        return tidy(value).rstrip('"').isdecimal()
    return isinstance(value, float) and not isinstance(value, bool) and 0 <= value <= 1_000 and value == int(value)


def _is_fraction(value: Value) -> bool:
    if isinstance(value, str):
        return bool(_FRACTION.fullmatch(tidy(value)))
    if isinstance(value, datetime.date):
        return True
    return isinstance(value, float) and not isinstance(value, bool) and 0 <= value < 1


def _is_nothing(value: Value) -> bool:
    return value == 0 or (isinstance(value, str) and tidy(value) in {"-", "0", "none"})


def _count(value: Value) -> int | None:
    if isinstance(value, bool):
        return None
    if isinstance(value, float | int) and 0 <= value <= 1_000 and value == int(value):
        return int(value)
    if isinstance(value, str) and value.strip().isascii() and value.strip().isdecimal() and len(value.strip()) < 4:
        return int(value)
    return None
