"""Which heading of a foreign table is which of our columns: as the user said, here or for a table of the same shape."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from itertools import islice

from service.sheets.cells import Table, Value, cell_text
from service.sheets.headings import SEARCHED_ROWS
from service.sheets.ledger import Ledger, Place
from service.sheets.opening_columns import OPENINGS
from service.sheets.word_cells import plain_words

COLUMNS_SHEET = "columns"
_HEADS = {"our column", "column", "our word", "word", "screenbatch", "field"}


class ColumnMapping:
    """What the user says about headings: in the settings, on a sheet called columns, or earlier for the same shape."""

    def __init__(
        self,
        tables: Sequence[Table],
        given: Mapping[str, str],
        remembered: Mapping[str, Mapping[str, str]],
        ledger: Ledger,
    ) -> None:
        sheet = next((table for table in tables if plain_words(table.name) == COLUMNS_SHEET), None)
        self._given = dict(given) | (_of_sheet(sheet, ledger) if sheet is not None else {})
        self._remembered = remembered
        self._ledger = ledger
        self.shape = ""
        """Shape of the first table the user's words were used for."""
        self.used: dict[str, str] = {}
        """The user's words as they were used, to be remembered with that shape."""
        for word in given:
            if plain_words(word) not in OPENINGS.by_heading:
                ledger.error(Place(f"settings column {word}"), f"there is no column {word}; {_known()}")

    def of(self, table: Table) -> Mapping[str, str]:
        """Return our words and the table's own headings for them."""
        if not self._given and not self._remembered:
            return {}
        shape = shape_of(table)
        if self._given:
            if not self.shape:
                self.shape, self.used = shape, dict(self._given)
            return self._given
        known = self._remembered.get(shape, {})
        if known:
            pairs = ", ".join(f"{word} = {heading}" for word, heading in known.items())
            self._ledger.notice(Place(table.name), f"columns as they were given for a table of this shape: {pairs}")
        return known


def shape_of(table: Table) -> str:
    """Return what tells tables of one layout apart from others: a digest of their fullest row of words.

    Examples
    --------
    >>> one = Table(name="a", rows=[(1, ["Mark", "B", "H"]), (2, ["K1", 27.5, 40.0])])
    >>> other = Table(name="b", rows=[(5, ["mark", "b", "h"])])
    >>> shape_of(one) == shape_of(other)
    True
    """
    best: list[str] = []
    for _, values in islice(table.rows, SEARCHED_ROWS):
        words = [plain_words(cell_text(value)) for value in values if isinstance(value, str) and _worded(value)]
        if len(words) > len(best):
            best = words
    return hashlib.sha256("|".join(best).encode()).hexdigest()[:32]


def _worded(value: Value) -> bool:
    return isinstance(value, str) and not value.strip()[:1].isdigit()


def _of_sheet(table: Table, ledger: Ledger) -> dict[str, str]:
    found: dict[str, str] = {}
    for number, values in islice(table.visible_rows(), 500):
        texts = [cell_text(value) for value in values[:2]]
        if len(texts) < 2 or not all(texts) or plain_words(texts[0]) in _HEADS:
            continue
        if plain_words(texts[0]) not in OPENINGS.by_heading:
            ledger.error(Place(table.name, number, 0), f"there is no column {texts[0]}; {_known()}", texts[0])
            continue
        found[texts[0]] = texts[1]
    return found


def _known() -> str:
    return "the template shows all of them, among them " + ", ".join(
        column.word for column in OPENINGS.columns[:9] if column.word
    )
