"""Rows of a table that are no entries: blank ones, totals, headings again, titles, examples."""

from __future__ import annotations

import re

from service.sheets.cells import Table, Value, cell_text
from service.sheets.headings import Heading

_TOTAL = re.compile(
    r"(?:grand |sub ?|sub-|sous-)?(?:totals?|sums?|summe|gesamt|subtotal|zwischensumme|insgesamt|somme|suma)\b.*",
    re.IGNORECASE,
)
_EXAMPLE = re.compile(r"examples?\b|e\.g\.|beispiel", re.IGNORECASE)
_SECTION = re.compile(r"\b(?:building|block|floor|level|storey|phase|section|stair|wing|house|elevation)\b", re.I)
_TELLTALE = (
    "example",
    "e.g.",
    "beispiel",
    "total",
    "grand",
    "sub",
    "sum",
    "gesamt",
    "zwischensumme",
    "insgesamt",
    "somme",
    "sous-total",
)
_LONGEST_LABEL = 30


class Skipping:
    """Says of each row below a heading why it is no entry, if it is none."""

    def __init__(self, table: Table, heading: Heading) -> None:
        self._headings = {bound.index: bound.heading.casefold() for bound in heading.columns}
        self._wide = {
            (row, merge.first_column)
            for merge in table.merges[:5_000]
            if merge.last_column > merge.first_column + 1
            for row in range(merge.first_row, min(merge.last_row, merge.first_row + 50) + 1)
        }

    def why(self, number: int, values: list[Value]) -> str | None:
        """Return why a row is no entry (an empty text for no word about it), or None if it is one."""
        headings = self._headings
        first_index = next((index for index, value in enumerate(values) if value is not None), -1)
        if first_index < 0:
            return ""
        if first_index not in headings and not any(
            index < len(values) and values[index] is not None for index in headings
        ):
            return "skipped: nothing stands below the headings that are read"
        first = values[first_index]
        if not isinstance(first, str):
            return None
        if first[:14].casefold().startswith(_TELLTALE):
            if _EXAMPLE.match(first):
                return "skipped: an example row"
            filled = sum(value is not None for value in values)
            if _TOTAL.fullmatch(first) and (filled <= 6 or len(first) < 20):
                return f"skipped: a row of totals ({cell_text(first)[:60]})"
        if headings.get(first_index) == first.casefold():
            ours = [index for index in headings if index < len(values) and values[index] is not None]
            repeats = sum(headings[index] == cell_text(values[index]).casefold() for index in ours)
            if repeats >= 2 and repeats * 2 > len(ours):
                return "skipped: the headings again"
        lone = all(value is None for value in values[first_index + 1 :])
        if lone and self._title(number, first_index, first):
            return f"skipped: only a line of text ({cell_text(first)[:60]})"
        return None

    def _title(self, number: int, index: int, text: str) -> bool:
        """Return whether a lone text is a section title or a remark rather than an entry without its sizes."""
        if (number, index) in self._wide:
            return True
        return len(text) > _LONGEST_LABEL or bool(_SECTION.search(text)) or text.rstrip().endswith(":")
