"""Titles between the rows, such as Building A or 2nd floor: they say the place of the rows below."""

from __future__ import annotations

import re

from service.sheets.cells import Table, cell_text
from service.sheets.headings import Heading

_LEVELS = ("phase", "building", "floor", "unit")
"""From the widest to the narrowest; a wider title ends the narrower ones."""
_PATTERNS = {
    "phase": re.compile(r"\b(?:phase|stage|batch|delivery|bauabschnitt|fase)\b", re.IGNORECASE),
    "building": re.compile(
        r"\b(?:building|bldg|block|house|tower|wing|haus|gebäude|bâtiment|edificio|bloque)\b", re.IGNORECASE
    ),
    "floor": re.compile(
        r"\b(?:floor|level|storey|story|geschoss|etage|stock|étage|planta|erdgeschoss|obergeschoss)\b", re.IGNORECASE
    ),
    "unit": re.compile(r"^(?:unit|apt|apartment|flat|suite|wohnung|appartement|vivienda)\b\.?", re.IGNORECASE),
}
_LONGEST = 40


class SectionTitles:
    """Keeps what the last titles said, row by row from top to bottom."""

    def __init__(self, table: Table, heading: Heading) -> None:
        self.said: dict[str, str] = {}
        first = min((bound.index for bound in heading.columns), default=0)
        sized = [bound.index for bound in heading.columns if bound.column.field in {"widths", "heights", "size"}]
        labels = (
            cell_text(values[first])
            for number, values in table.rows[:2_000]
            if number > heading.row
            and first < len(values)
            and first not in sized
            and any(index < len(values) and values[index] is not None for index in sized)
        )
        # Where openings themselves are called Unit 101, a row that says Unit 102 alone is one without its sizes.
        self._labels = {level for text in labels for level in _LEVELS if _PATTERNS[level].search(text)}

    def level(self, text: str) -> str | None:
        """Return what a lone text is the title of, or None."""
        if len(text) > _LONGEST:
            return None
        return next((each for each in _LEVELS if each not in self._labels and _PATTERNS[each].search(text)), None)

    def take(self, text: str) -> str | None:
        """Take a lone text as the title of the rows below; return what was said, or None if it is no title."""
        level = self.level(text)
        if level is None:
            return None
        plain = text.strip().rstrip(":").strip()
        for narrower in _LEVELS[_LEVELS.index(level) :]:
            self.said.pop(narrower, None)
        self.said[level] = plain
        return f"{level} {plain}"
