"""The cells of one Open XML sheet, row by row: a fast way for plain rows, a careful one for all others.

References
----------
ISO/IEC 29500-1, 18.3.1: row, c (cell), f (formula), v (value), mergeCell, col.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html import unescape

from service.errors import SheetError
from service.sheets.cells import Merge, column_number
from service.sheets.limits import MAX_TEXT
from service.sheets.xml_member import DAMAGED, XmlFeed

RawCell = tuple[int, int, str, str | None, bool]
"""Column, style number, kind (its t attribute), value text or None, whether a formula stands in it."""

RawRow = tuple[int, list[RawCell]]

_CELL = re.compile(
    rb'<c r="([A-Z]{1,3})[0-9]+"(?: s="([0-9]{1,6})")?(?: t="([a-zA-Z]+)")?'
    rb"(?:/>|>(<f(?:/>| [^>]*/>|(?: [^>]*)?>[^<]*</f>))?"
    rb'(?:<v>([^<]*)</v>|<v/>|<is><t(?: xml:space="preserve")?>([^<]*)</t></is>)?</c>)'
)
_ROW = re.compile(rb'\s*<row r="([0-9]{1,7})"([^>]*?)(/?)>')
_HEAD_IS_PLAIN = re.compile(
    rb"(?:\s*<\?xml[^>]*encoding=[\"']utf-8[\"'][^>]*\?>|\s*<\?xml[^>]*\?>)?\s*<worksheet[^<]*", re.I
)
_LONGEST_ROW = 64 << 20
_MOST_CELLS_IN_A_ROW = 20_000


@dataclass(slots=True)
class SheetFrame:
    """What a sheet says beside its cells; filled while its rows are read."""

    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merges: list[Merge] = field(default_factory=list)


def raw_rows(pieces: Iterator[bytes], frame: SheetFrame) -> Iterator[RawRow]:
    """Yield the rows of a sheet that hold a value or a formula; fill ``frame`` on the way.

    Rows as nearly all programs write them are taken apart by two expressions;
    from the first row that is not exactly of that form on, an XML parser reads
    the sheet, so that both ways give the same cells.

    Raises
    ------
    SheetError
        If the sheet is damaged.
    """
    careful = _CarefulRows(frame)
    buffer = b""
    for piece in pieces:
        buffer += piece
        if b"<sheetData" in buffer or len(buffer) > 1 << 20:
            break
    opening = buffer.find(b"<sheetData>")
    head = buffer[: opening + len(b"<sheetData>")] if opening >= 0 else b""
    careful.feed(head)
    if (
        opening >= 0
        and _HEAD_IS_PLAIN.match(head)
        and b"encoding" not in head[:200].lower().replace(b'encoding="utf-8"', b"")
    ):
        position = len(head)
        while True:
            row = _ROW.match(buffer, position)
            if row is None:
                if len(buffer) - position < 4096 and (piece := next(pieces, b"")):
                    buffer, position = buffer[position:] + piece, 0
                    continue
                break
            end = row.end() if row[3] else buffer.find(b"</row>", row.end())
            if end < 0:
                if len(buffer) - position > _LONGEST_ROW:
                    raise SheetError("one row of the sheet is longer than any list of openings needs; it is not read")
                piece = next(pieces, b"")
                if not piece:
                    raise SheetError(DAMAGED)
                buffer, position = buffer[position:] + piece, 0
                continue
            block = buffer[row.end() : end]
            if b"<v" not in block and b"<is" not in block and b"<f" not in block:
                cells: list[RawCell] | None = []
            else:
                cells = _plain_cells(block)
            if cells is None:
                break
            number = int(row[1])
            if b"hidden=" in row[2] and re.search(rb' hidden="(?:1|true)"', row[2]):
                frame.hidden_rows.add(number)
            careful.row = number
            if cells:
                yield number, cells
            position = end if row[3] else end + len(b"</row>")
        buffer = buffer[position:]
    else:
        buffer = buffer[len(head) :]
    yield from careful.rows_of(buffer)
    for piece in pieces:
        yield from careful.rows_of(piece)
    yield from careful.rows_of(b"", last=True)


def _plain_cells(block: bytes) -> list[RawCell] | None:
    """Return the cells of a row that hold something, or None if the row is not of the plain form."""
    found = _CELL.findall(block)
    if len(found) != block.count(b"<c") or b"<!" in block:
        return None
    cells: list[RawCell] = []
    for letters, style, kind, formula, value, inline in found:
        raw = value or inline
        if raw or formula:
            try:
                text = raw.decode() if raw else None
            except UnicodeDecodeError:
                return None
            if text is not None and "&" in text:
                text = unescape(text)
            cells.append(
                (_COLUMNS.get(letters) or _column(letters), int(style or 0), kind.decode(), text, bool(formula))
            )
    return cells


_COLUMNS: dict[bytes, int] = {}


def _column(letters: bytes) -> int:
    return _COLUMNS.setdefault(letters, column_number(letters.decode()))


class _CarefulRows:
    """An XML parser for sheets of any form; rows come out once they are complete."""

    def __init__(self, frame: SheetFrame) -> None:
        self.row = 0
        self._frame = frame
        self._done: list[RawRow] = []
        self._cells: list[RawCell] = []
        self._column = -1
        self._style = 0
        self._kind = ""
        self._formula = False
        self._value: list[str] = []
        self._reading = False
        self._aside = False
        self._feed = XmlFeed(self._start, self._end, self._text)

    def feed(self, piece: bytes, *, last: bool = False) -> None:
        """Parse one more piece."""
        self._feed.feed(piece, last=last)

    def rows_of(self, piece: bytes, *, last: bool = False) -> Iterator[RawRow]:
        """Parse one more piece and yield the rows it completes."""
        for start in range(0, len(piece), 1 << 18) if piece else (0,):
            self.feed(piece[start : start + (1 << 18)], last=last)
            yield from self._done
            self._done.clear()

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        match name:
            case "c":
                reference = re.match(r"([A-Z]{1,3})[0-9]+$", attributes.get("r", ""))
                self._column = column_number(reference[1]) if reference else self._column + 1
                style = attributes.get("s", "0")
                self._style = int(style) if style.isdecimal() and len(style) < 7 else 0
                self._kind = attributes.get("t", "")
                self._formula = False
                self._value.clear()
                if len(self._cells) > _MOST_CELLS_IN_A_ROW:
                    raise SheetError("one row of the sheet has more cells than any sheet can; it is not read")
            case "v" | "t":
                self._reading = not self._aside
            case "f":
                self._formula = True
            case "rPh":
                self._aside = True
            case "row":
                number = attributes.get("r", "")
                self.row = int(number) if number.isdecimal() and len(number) < 8 else self.row + 1
                self._cells = []
                self._column = -1
                if attributes.get("hidden") in {"1", "true"}:
                    self._frame.hidden_rows.add(self.row)
            case "col" if attributes.get("hidden") in {"1", "true"}:
                first, last = (min(16_384, _whole(attributes.get(end, ""))) for end in ("min", "max"))
                self._frame.hidden_columns.update(range(first - 1, last))
            case "mergeCell" if len(self._frame.merges) < 100_000:
                self._merge(attributes.get("ref", ""))

    def _end(self, name: str) -> None:
        match name:
            case "v" | "t":
                self._reading = False
            case "rPh":
                self._aside = False
            case "c":
                if self._value or self._formula:
                    text = "".join(self._value) or None
                    self._cells.append((self._column, self._style, self._kind, text, self._formula))
            case "row":
                if self._cells:
                    self._done.append((self.row, self._cells))

    def _text(self, text: str) -> None:
        if self._reading and len(self._value) < MAX_TEXT:
            self._value.append(text[:MAX_TEXT])

    def _merge(self, block: str) -> None:
        if corners := re.fullmatch(r"([A-Z]{1,3})([0-9]{1,7}):([A-Z]{1,3})([0-9]{1,7})", block):
            self._frame.merges.append(
                Merge(int(corners[2]), column_number(corners[1]), int(corners[4]), column_number(corners[3]))
            )


def _whole(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 8 else 0
