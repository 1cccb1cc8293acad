"""OpenDocument spreadsheets to tables.

References
----------
OASIS OpenDocument 1.3, part 3: 9.1 tables, 19.385 office:value-type.
"""

from __future__ import annotations

import datetime
import re
import zipfile
from pathlib import Path

from service.errors import SheetError
from service.sheets.cells import Fault, Merge, Missing, Shape, Shown, Table, Value
from service.sheets.formats import other_word, unit_word
from service.sheets.limits import MAX_CELLS, MAX_COLUMNS, MAX_ROWS, MAX_SHEETS, MAX_TEXT
from service.sheets.xlsx_file import iso_moment, plain_float
from service.sheets.xml_member import DAMAGED, XmlFeed, chunks

_ERROR_TEXT = re.compile(r"#[A-Z0-9/!?]+|Err:[0-9]+")
_DURATION = re.compile(r"-?P(?:([0-9]+)D)?T?(?:([0-9]+)H)?(?:([0-9]+)M)?(?:([0-9]+)(?:[.,][0-9]+)?S)?")
_UNIT_BEHIND = re.compile(r"[-+]?[0-9][0-9., /]*?\s*([^0-9., /]{1,6})")
_TRUTHS = {"of:=TRUE()", "of:=FALSE()"}
_FARTHEST_ROW = 1_048_576


def read_ods(path: Path) -> tuple[Table, ...]:
    """Return every sheet of a document as a table.

    Raises
    ------
    SheetError
        If the document is damaged or far too large.
    """
    reader = _OdsReader()
    feed = XmlFeed(reader.start, reader.end, reader.text)
    try:
        with zipfile.ZipFile(path) as archive:
            for piece in chunks(archive, "content.xml"):
                feed.feed(piece)
            feed.feed(b"", last=True)
    except zipfile.BadZipFile as error:
        raise SheetError(DAMAGED) from error
    if not reader.tables or len(reader.tables) > MAX_SHEETS:
        raise SheetError("the document holds no sheet with cells, or hundreds of them; it is not read")
    return tuple(reader.tables)


class _OdsReader:
    """Turns the document's tags into tables."""

    def __init__(self) -> None:
        self.tables: list[Table] = []
        self._hidden_tables: set[str] = set()
        self._style = ""
        self._depth = 0
        self._row = 0
        self._row_copies = 1
        self._columns = 0
        self._merges: list[Merge] = []
        self._hidden_rows: set[int] = set()
        self._hidden_columns: set[int] = set()
        self._striking: set[str] = set()
        self._struck: set[tuple[int, int]] = set()
        self._struck_columns: list[int] = []
        self._values: list[Value] = []
        self._column = 0
        self._cell: dict[str, str] | None = None
        self._covered = False
        self._lines: list[str] = []
        self._length = 0
        self._reading = 0
        self._aside = 0
        self._rows = 0
        self._cells = 0

    def start(self, name: str, attributes: dict[str, str]) -> None:
        if not self._depth and name != "table":
            if name == "style":
                self._style = attributes.get("name", "")
            elif name == "text-properties" and attributes.get("text-line-through-style", "none") != "none":
                self._striking.add(self._style)
            elif name == "table-properties" and attributes.get("display") == "false":
                self._hidden_tables.add(self._style)
            return
        match name:
            case "table":
                self._depth += 1
                if self._depth == 1:
                    self._open_table(attributes)
            case "table-column":
                copies = _whole(attributes.get("number-columns-repeated", "1"))
                if attributes.get("visibility", "visible") != "visible":
                    last = min(self._columns + copies, MAX_COLUMNS)
                    self._hidden_columns.update(range(self._columns, last))
                self._columns += copies
            case "table-row":
                self._row_copies = _whole(attributes.get("number-rows-repeated", "1"))
                self._values, self._column = [], 0
                self._struck_columns = []
                if attributes.get("visibility", "visible") != "visible":
                    last = min(self._row + self._row_copies, self._row + MAX_ROWS)
                    self._hidden_rows.update(range(self._row + 1, last + 1))
            case "table-cell" | "covered-table-cell":
                self._cell, self._covered = attributes, name != "table-cell"
                self._lines.clear()
                self._length = 0
            case "annotation":
                self._aside += 1
            case "p" if self._cell is not None and not self._aside:
                self._reading += 1
                self._lines.append("\n" if self._lines else "")
            case "s" | "tab" if self._reading:
                self._lines.append(" " * min(MAX_TEXT, _whole(attributes.get("c", "1"))))

    def text(self, text: str) -> None:
        if self._reading and not self._aside and self._length < MAX_TEXT:
            self._lines.append(text[:MAX_TEXT])
            self._length += len(text)

    def end(self, name: str) -> None:
        if not self._depth:
            return
        match name:
            case "table":
                self._depth -= 1
                if not self._depth:
                    self.tables[-1].hidden_rows = frozenset(self._hidden_rows)
                    self.tables[-1].hidden_columns = frozenset(self._hidden_columns)
                    self.tables[-1].merges = tuple(self._merges)
                    self.tables[-1].struck = frozenset(self._struck)
            case "annotation":
                self._aside -= 1
            case "p" if self._reading:
                self._reading -= 1
            case "table-cell" | "covered-table-cell":
                self._close_cell()
            case "table-row":
                self._close_row()

    def _open_table(self, attributes: dict[str, str]) -> None:
        hidden = attributes.get("style-name", "") in self._hidden_tables
        self.tables.append(Table(name=attributes.get("name", ""), rows=[], hidden=hidden))
        self._row = 0
        self._columns, self._merges = 0, []
        self._hidden_rows, self._hidden_columns = set(), set()
        self._struck = set()

    def _close_cell(self) -> None:
        attributes, self._cell = self._cell or {}, None
        copies = _whole(attributes.get("number-columns-repeated", "1"))
        first = self._column
        self._column = min(self._column + copies, 1 << 20)
        down, right = (_whole(attributes.get(f"number-{way}-spanned", "1")) for way in ("rows", "columns"))
        if (down > 1 or right > 1) and len(self._merges) < 100_000:
            self._merges.append(Merge(self._row + 1, first, self._row + down, first + right - 1))
        value = None if self._covered else self._value(attributes)
        if value is None:
            return
        if first >= MAX_COLUMNS:
            self.tables[-1].cut_off = (f"columns beyond the {MAX_COLUMNS}th",)
            return
        if self._striking and attributes.get("style-name") in self._striking:
            self._struck_columns.append(first)
        self._values.extend([None] * (first - len(self._values)))
        self._values.extend([value] * min(copies, MAX_COLUMNS - first))

    def _close_row(self) -> None:
        if self._values:
            copies = min(self._row_copies, MAX_ROWS + 1)
            self._rows += copies
            self._cells += copies * len(self._values)
            if self._rows > MAX_ROWS or self._cells > MAX_CELLS:
                raise SheetError(f"the document has over {MAX_ROWS:,} rows or {MAX_CELLS:,} cells; split the job")
            if self._struck_columns and len(self._struck) < MAX_ROWS:
                self._struck.update(
                    (self._row + 1 + copy, each) for copy in range(copies) for each in self._struck_columns
                )
            self.tables[-1].rows.extend((self._row + 1 + copy, list(self._values)) for copy in range(copies))
        self._row = min(self._row + self._row_copies, _FARTHEST_ROW)

    def _value(self, attributes: dict[str, str]) -> Value:
        text = attributes.get("string-value") or "".join(self._lines)
        kind = attributes.get("value-type", "")
        formula = "formula" in attributes
        if kind == "error" or (formula and _ERROR_TEXT.fullmatch(text)):
            return Fault(text[:MAX_TEXT] or "error")
        match kind:
            case "float" | "percentage" | "currency":
                return self._number(attributes, kind, text)
            case "date":
                return iso_moment(attributes.get("date-value", ""))
            case "time":
                return _duration(attributes.get("time-value", ""))
            case "boolean":
                return attributes.get("boolean-value") == "true"
            case "" if formula and not text:
                return Fault("formula", Missing.FORMULA)
            case _:
                return text[:MAX_TEXT] if text.strip() else None

    @staticmethod
    def _number(attributes: dict[str, str], kind: str, shown: str) -> Value:
        number = plain_float(attributes.get("value", ""))
        if number is None:
            return Fault(attributes.get("value", "")[:40])
        if kind == "percentage":
            return Shown(number, Shape.PERCENT)
        if kind == "currency":
            return Shown(number, Shape.CURRENCY)
        if attributes.get("formula") in _TRUTHS:
            return bool(number)
        # The document says how the number was shown; what is written behind it is its unit.
        written = _UNIT_BEHIND.fullmatch(shown)
        unit = unit_word(written[1]) if written is not None else ""
        if not unit and written is not None and (other := other_word(written[1])):
            return Shown(number, Shape.OTHER, other)
        return Shown(number, Shape.UNIT, unit) if unit else number


def _duration(text: str) -> Value:
    """Return a time written in the ISO 8601 way.

    Examples
    --------
    >>> _duration("PT01H30M00S")
    datetime.timedelta(seconds=5400)
    """
    found = _DURATION.fullmatch(text)
    if found is None:
        return Fault(text[:40])
    days, hours, minutes, seconds = (min(int(number or 0), 10**6) for number in found.groups())
    return datetime.timedelta(days=days, hours=hours, minutes=minutes, seconds=seconds)


def _whole(text: str) -> int:
    return min(1 << 24, max(1, int(text))) if text.isascii() and text.isdecimal() and len(text) < 20 else 1
