"""An OpenDocument spreadsheet with its faulty cells marked and explained, everything else as it was.

References
----------
OASIS OpenDocument 1.3, part 3: 9.1 tables, 16.2 style:style, 20.183 fo:background-color.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from service.errors import SheetError
from service.sheets.cells import Table, column_number
from service.sheets.findings import Finding, Verdict
from service.sheets.findings_list import HEADINGS, explained, finding_row, findings_by_row
from service.sheets.splice import Edit, Element, edited, elements, with_attribute, xml_text
from service.sheets.xml_member import DAMAGED

_COLOURS = {Verdict.ERROR: "#f4b6b6", Verdict.QUESTION: "#ffe08a"}
_PREFIXES = (b"xmlns:table=", b"xmlns:office=", b"xmlns:text=", b"xmlns:style=", b"xmlns:fo=")
_ROWS, _COLUMNS = "table:number-rows-repeated", "table:number-columns-repeated"
_CELLS = ("table:table-cell", "table:covered-table-cell")


@dataclass(slots=True)
class _Row:
    element: Element
    first: int
    copies: int
    cells: list[Element] = field(default_factory=list)


@dataclass(slots=True)
class _Sheet:
    rows: list[_Row] = field(default_factory=list)
    column_styles: list[tuple[int, str]] = field(default_factory=list)
    """(first column behind it, default style) for each run of columns."""


def marked_ods(content: bytes, tables: Sequence[Table], findings: Sequence[Finding]) -> bytes:
    """Return the document's content with faulty cells filled and explained, and a sheet that lists all findings.

    Raises
    ------
    SheetError
        If the document is too unusual to be edited in place.
    """
    if not all(prefix in content[:20_000] for prefix in _PREFIXES):
        raise SheetError(DAMAGED)
    names = ("table", "table-column", "table-row", "table-cell", "covered-table-cell", "style", "automatic-styles")
    found = elements(content, names)
    styles = _Styles(content, found)
    sheets, last_end = _sheets(content, found)
    edits: list[Edit] = []
    for table in tables:
        by_row = findings_by_row(finding for finding in findings if finding.sheet == table.name)
        free = max((len(values) for _, values in table.rows), default=0) + 1
        for row in sheets.get(table.name, _Sheet()).rows:
            wanted = {number: by_row[number] for number in by_row if row.first <= number < row.first + row.copies}
            if wanted:
                length = _end(content, row.element) - row.element.tag.start
                text = _rows_written(content, row, wanted, free, styles, sheets[table.name])
                edits.append(Edit(row.element.tag.start, length, text))
    edits.append(Edit(last_end, 0, _list(findings, set(sheets))))
    edits.append(styles.edit())
    return edited(content, edits)


class _Styles:
    """Cell styles like those of the document, with a fill."""

    def __init__(self, content: bytes, found: Iterable[Element]) -> None:
        self._content = content
        self._known: dict[str, Element] = {}
        self._made: dict[tuple[str, Verdict], str] = {}
        self._new: list[bytes] = []
        self._block: Element | None = None
        for element in found:
            if element.tag.name == "office:automatic-styles":
                self._block = element
            elif element.tag.name == "style:style":
                self._known[element.tag.attributes.get("style:name", "")] = element

    def marked(self, style: str, verdict: Verdict) -> str:
        """Return the name of a style that looks like another, filled for a verdict."""
        key = (style, verdict)
        if key not in self._made:
            self._made[key] = f"marked{len(self._made) + 1}"
            self._new.append(self._written(style, verdict, self._made[key]))
        return self._made[key]

    def edit(self) -> Edit:
        """Return the edit that adds all new styles."""
        if self._block is None or self._block.tag.empty:
            raise SheetError(DAMAGED)
        return Edit(self._block.close, 0, b"".join(self._new))

    def _written(self, style: str, verdict: Verdict, name: str) -> bytes:
        properties = f'<style:table-cell-properties fo:background-color="{_COLOURS[verdict]}"/>'
        element = self._known.get(style)
        if element is None:
            parent = f' style:parent-style-name="{xml_text(style)}"' if style else ""
            start = f'<style:style style:name="{name}" style:family="table-cell"{parent}>'
            return f"{start}{properties}</style:style>".encode()
        tag = with_attribute(self._content[element.tag.start : element.tag.end], "style:name", name)
        if element.tag.empty:
            return tag[:-2].rstrip() + f">{properties}</style:style>".encode()
        inner = self._content[element.tag.end : element.close]
        position = inner.find(b"<style:table-cell-properties")
        if position < 0:
            inner = properties.encode() + inner
        else:
            end = inner.index(b">", position) + 1
            changed = with_attribute(inner[position:end], "fo:background-color", _COLOURS[verdict])
            inner = inner[:position] + changed + inner[end:]
        return tag + inner + b"</style:style>"


def _sheets(content: bytes, found: Iterable[Element]) -> tuple[dict[str, _Sheet], int]:
    """Return the document's sheets by name, and where the last of them ends."""
    sheets: dict[str, _Sheet] = {}
    sheet = _Sheet()
    number = column = 0
    inside = -1
    last_end = -1
    for element in found:
        tag = element.tag
        if tag.name == "table:table":
            if tag.start < inside:
                raise SheetError(DAMAGED)
            sheet = sheets[tag.attributes.get("table:name", "")] = _Sheet()
            number, column, inside = 1, 0, element.close
            last_end = _end(content, element)
        elif tag.start >= inside:
            continue
        elif tag.name == "table:table-column":
            column += _copies(element, _COLUMNS)
            sheet.column_styles.append((column, tag.attributes.get("table:default-cell-style-name", "")))
        elif tag.name == "table:table-row":
            row = _Row(element, number, _copies(element, _ROWS))
            sheet.rows.append(row)
            number += row.copies
        elif tag.name in _CELLS and sheet.rows:
            sheet.rows[-1].cells.append(element)
    if last_end < 0:
        raise SheetError(DAMAGED)
    return sheets, last_end


def _rows_written(
    content: bytes, row: _Row, wanted: Mapping[int, Sequence[Finding]], free: int, styles: _Styles, sheet: _Sheet
) -> bytes:
    """Return a run of alike rows with the wanted ones taken out of it and marked."""
    tag = content[row.element.tag.start : row.element.tag.end]
    whole = content[row.element.tag.end : _end(content, row.element)]
    pieces: list[bytes] = []
    next_row = row.first
    for number in sorted(wanted):
        if number > next_row:
            pieces += (_repeated(tag, _ROWS, number - next_row), whole)
        single = _repeated(tag, _ROWS, 1)
        if row.element.tag.empty:
            single = single[:-2].rstrip() + b">"
        cells = _cells_written(content, row, wanted[number], free, styles, sheet)
        pieces += (single, cells, b"</table:table-row>")
        next_row = number + 1
    rest = row.first + row.copies - next_row
    if rest:
        pieces += (_repeated(tag, _ROWS, rest), whole)
    return b"".join(pieces)


def _cells_written(
    content: bytes, row: _Row, findings: Sequence[Finding], free: int, styles: _Styles, sheet: _Sheet
) -> bytes:
    worst: dict[int, Verdict] = {}
    for finding in findings:
        letters = finding.cell.rstrip("0123456789")
        if letters and worst.get(column_number(letters)) is not Verdict.ERROR:
            worst[column_number(letters)] = finding.verdict
    text = xml_text("; ".join(explained(finding) for finding in findings))[:30_000]
    note = f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'.encode()
    pieces: list[bytes] = []
    column = 0
    for cell in row.cells:
        copies = _copies(cell, _COLUMNS)
        tag = content[cell.tag.start : cell.tag.end]
        rest = content[cell.tag.end : _end(content, cell)]
        next_column = column
        for target in sorted({*worst, free}):
            if not column <= target < column + copies:
                continue
            if target > next_column:
                pieces += (_repeated(tag, _COLUMNS, target - next_column), rest)
            if target == free:
                pieces.append(note)
            else:
                before = cell.tag.attributes.get("table:style-name") or _column_style(sheet, target)
                marked = with_attribute(
                    _repeated(tag, _COLUMNS, 1), "table:style-name", styles.marked(before, worst[target])
                )
                pieces += (marked, rest)
            next_column = target + 1
        if column + copies > next_column:
            pieces += (_repeated(tag, _COLUMNS, column + copies - next_column), rest)
        column += copies
    for target in sorted({*worst, free}):
        if target < column:
            continue
        if target > column:
            pieces.append(f'<table:table-cell {_COLUMNS}="{target - column}"/>'.encode())
        blank = f'<table:table-cell table:style-name="{styles.marked("", worst[target])}"/>' if target != free else ""
        pieces.append(blank.encode() or note)
        column = target + 1
    return b"".join(pieces)


def _list(findings: Sequence[Finding], taken: set[str]) -> bytes:
    name = next(each for each in ("findings", *(f"findings {n}" for n in range(2, 10_000))) if each not in taken)
    lines = [HEADINGS, *(finding_row(finding) for finding in findings[:5_000])]
    rows = "".join(
        "<table:table-row>"
        + "".join(
            f'<table:table-cell office:value-type="string"><text:p>{xml_text(text)}</text:p></table:table-cell>'
            for text in line
        )
        + "</table:table-row>"
        for line in lines
    )
    columns = f'<table:table-column {_COLUMNS}="{len(HEADINGS)}"/>'
    return f'<table:table table:name="{name}">{columns}{rows}</table:table>'.encode()


def _column_style(sheet: _Sheet, column: int) -> str:
    return next((style for behind, style in sheet.column_styles if column < behind), "")


def _copies(element: Element, name: str) -> int:
    text = element.tag.attributes.get(name, "1")
    return max(1, int(text)) if text.isdecimal() and len(text) < 10 else 1


def _repeated(tag: bytes, name: str, copies: int) -> bytes:
    return with_attribute(tag, name, str(copies) if copies > 1 else None)


def _end(content: bytes, element: Element) -> int:
    return element.tag.end if element.tag.empty else content.index(b">", element.close) + 1
