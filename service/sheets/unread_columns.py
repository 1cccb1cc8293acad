"""Columns that nothing is read from: said, and asked about where a size or a number of pieces may be lost."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from service.sheets.cells import Table, Value, cell_text, column_letters
from service.sheets.headings import Bound, Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.opening_columns import OPENINGS
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong

_SAMPLE = 2_000
_LARGEST_COUNT = 99
_MOST_SAID = 20
_OWN_MARK = re.compile(r"[A-Z]{1,3}[0-9]+: ")
_COUNTING = re.compile(
    r"#|\b(?:screens?|windows|pieces|pcs|count|number|num|total|required|needed|ordered|how many|stk|anz|nb|cant)\b",
    re.IGNORECASE,
)
"""Words in a heading over what may be numbers of screens."""
_TAKE = {"quantity": True, "yes": True, "read": True, "skip": False, "no": False}


def with_unread_columns(table: Table, heading: Heading, ledger: Ledger) -> Heading:
    """Return the heading, with a column taken as the quantity where that was answered; say what is not read."""
    has_quantity = any(bound.column.field == "quantity" for bound in heading.columns)
    for index, text in heading.unknown:
        if not has_quantity and _COUNTING.search(text) and _may_be_quantity(table, heading, index):
            has_quantity = True
            wanted = _asked(table, heading, index, text, ledger)
            if wanted is None:
                continue
            if wanted:
                bound = Bound(index, OPENINGS.by_heading["quantity"], "", text)
                heading = replace(
                    heading,
                    columns=tuple(sorted((*heading.columns, bound), key=lambda each: each.index)),
                    unknown=tuple(each for each in heading.unknown if each[0] != index),
                )
                continue
        ledger.notice(Place(table.name, heading.row, index), f"column {text} is not read", text)
    if not table.text_only:
        _say_unheaded(table, heading, ledger)
    return heading


def _say_unheaded(table: Table, heading: Heading, ledger: Ledger) -> None:
    """Say which columns hold something and have no heading; our own marks beside a checked table need no word."""
    known = {bound.index for bound in heading.columns} | {index for index, _ in heading.unknown}
    said = {finding.cell for finding in ledger.findings if finding.sheet == table.name}
    filled = {
        index
        for number, values in table.rows[:_SAMPLE]
        if number > heading.row
        for index, value in enumerate(values)
        if value is not None and not (isinstance(value, str) and _OWN_MARK.match(value))
    }
    for index in sorted(filled - known)[:_MOST_SAID]:
        place = Place(table.name, heading.row, index)
        if place.cell not in said:
            letters = column_letters(index)
            ledger.notice(place, f"column {letters} has no heading and is not read; head it if something in it counts")


def _may_be_quantity(table: Table, heading: Heading, index: int) -> bool:
    """Return whether a column holds small whole numbers that do not simply count the rows."""
    numbers = [values[index] for number, values in table.rows[:_SAMPLE] if number > heading.row and index < len(values)]
    counts = [_count(value) for value in numbers if value is not None]
    whole = [count for count in counts if count is not None]
    if not whole or len(whole) < len(counts) or not 1 < max(whole) <= _LARGEST_COUNT or min(whole) < 1:
        return False
    return len(whole) == 1 or any(second <= first for first, second in pairwise(whole))


def _count(value: Value) -> int | None:
    if isinstance(value, float) and value == int(value):
        return int(value)
    return int(value) if isinstance(value, str) and value.isascii() and value.isdecimal() and len(value) < 4 else None


def _asked(table: Table, heading: Heading, index: int, text: str, ledger: Ledger) -> bool | None:
    message = (
        f"column {text} holds whole numbers and no column is headed quantity; write quantity if they are numbers of "
        "screens, or skip"
    )

    def read(value: Value) -> CellVerdict:
        word = cell_text(value).strip().casefold()
        return Held(_TAKE[word]) if word in _TAKE else Wrong(f"{cell_text(value)}: write quantity or skip")

    held = ledger.ask(Place(table.name, heading.row, index), Asked("quantity column", message, "quantity"), read)
    return bool(held.value) if held is not None else None
