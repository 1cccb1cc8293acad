"""Two tables beside each other under one heading row: the second one's sizes are no second readings."""

from __future__ import annotations

from dataclasses import replace

from service.sheets.cells import Table, address, column_letters
from service.sheets.columns import Kind
from service.sheets.headings import Bound, Heading, heading_parts
from service.sheets.ledger import Ledger, Place


def without_second_table(table: Table, heading: Heading, kind: Kind, ledger: Ledger) -> Heading:
    """Return the heading of the first table alone; a second one beside it is refused, for its rows would be lost.

    A heading that comes again, word for word, after other columns starts a
    second table; readings of one side have headings that differ, or stand next
    to each other.
    """
    start = _second_table(heading, kind)
    if start is None:
        return heading
    last = max(bound.index for bound in heading.columns)
    filled = (value is not None for number, values in table.rows if number > heading.row for value in values[start:])
    if any(filled):
        ledger.error(
            Place(table.name, heading.row, start),
            f"a second table stands beside the first one (from {address(heading.row, start)} to column "
            f"{column_letters(last)}); put its rows below the first, or on a sheet of its own",
        )
    columns = tuple(bound for bound in heading.columns if bound.index < start)
    unknown = tuple((index, text) for index, text in heading.unknown if index < start)
    return replace(heading, columns=columns, unknown=unknown)


def _second_table(heading: Heading, kind: Kind) -> int | None:
    """Return the column where a second table starts."""
    seen: dict[str, Bound] = {}
    again: list[int] = []
    previous = ""
    for bound in sorted(heading.columns, key=lambda each: each.index):
        words = bound.heading.casefold()
        if words in seen and previous != words:
            again.append(bound.index)
        seen.setdefault(words, bound)
        previous = words
    if not again:
        return None
    # Its own label column, which stands among the unknown headings, is where the second table really starts.
    first = min(again)
    before = max((bound.index for bound in heading.columns if bound.index < first), default=-1)
    repeated = [
        index for index, text in heading.unknown if before < index < first and heading_parts(text)[0] in kind.by_heading
    ]
    return min([first, *repeated])
