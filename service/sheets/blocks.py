"""Several tables below each other on one sheet, each with a heading of its own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from service.sheets.cells import Table, Value
from service.sheets.columns import Kind
from service.sheets.headings import Heading, find_heading

_MOST = 200


def blocks(
    table: Table, heading: Heading, kind: Kind, find: Callable[[Table], Heading | None]
) -> list[tuple[Table, Heading]]:
    """Return the tables of a sheet, each with its heading; rows keep their numbers.

    A row of words that names every needed column in other places than the heading
    does starts a table of its own. The same heading again does not.
    """
    layout = _layout(heading)
    starts = [heading.row]
    for number, values in table.rows:
        if number in {heading.row, heading.row - 1} or not _only_words(values) or len(starts) > _MOST:
            continue
        alone = find_heading(replace(table, rows=[(number, values)], merges=()), kind)
        if alone is not None and not alone.missing(kind) and _layout(alone) != layout:
            starts.append(number)
    if len(starts) == 1:
        return [(table, heading)]
    starts.sort()
    found: list[tuple[Table, Heading]] = []
    for place, start in enumerate(starts):
        first = 0 if place == 0 else start
        end = starts[place + 1] if place + 1 < len(starts) else None
        rows = [row for row in table.rows if row[0] >= first and (end is None or row[0] < end)]
        part = replace(table, rows=rows)
        own = heading if start == heading.row else find(part)
        if own is not None:
            found.append((part, own))
    return found


def _layout(heading: Heading) -> list[tuple[int, str]]:
    return [(bound.index, bound.column.field) for bound in heading.columns]


def _only_words(values: list[Value]) -> bool:
    filled = [value for value in values if value is not None]
    return len(filled) > 1 and all(isinstance(value, str) and not value.lstrip()[:1].isdigit() for value in filled)
