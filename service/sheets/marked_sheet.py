"""One sheet of the user's own workbook with its faulty cells marked and explained beside the table."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from service.sheets.cells import address, column_number
from service.sheets.findings import Finding, Verdict
from service.sheets.findings_list import explained, findings_by_row
from service.sheets.marked_styles import MarkedStyles
from service.sheets.splice import Edit, Element, edited, elements, prefix_of, with_attribute, xml_text

_CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_LAST_COLUMN = 16_383


@dataclass(slots=True)
class _SheetRow:
    element: Element
    cells: dict[int, Element] = field(default_factory=dict)


def marked_sheet(content: bytes, findings: Sequence[Finding], styles: MarkedStyles) -> bytes:
    """Return the XML of a sheet with every faulty cell filled and explained right of the table.

    Everything else stays byte for byte. Findings in rows the sheet does not have
    are left to the list of findings.
    """
    by_row = findings_by_row(findings)
    rows, free_column = _rows(content, by_row)
    edits: list[Edit] = []
    for number, row in rows.items():
        edits += _row_edits(content, number, row, by_row[number], free_column, styles)
    return edited(content, edits)


def _rows(content: bytes, wanted: Mapping[int, object]) -> tuple[dict[int, _SheetRow], int]:
    """Return the wanted rows with their cells, and the first column right of everything."""
    rows: dict[int, _SheetRow] = {}
    current: _SheetRow | None = None
    number, column, widest = 0, -1, -1
    for element in elements(content, ("row", "c")):
        attributes = element.tag.attributes
        if element.tag.name.endswith("row"):
            number = int(attributes["r"]) if attributes.get("r", "").isdecimal() else number + 1
            column = -1
            current = _SheetRow(element)
            if number in wanted:
                rows[number] = current
            continue
        reference = _CELL.fullmatch(attributes.get("r", ""))
        column = column_number(reference[1]) if reference else column + 1
        if not element.tag.empty:
            widest = max(widest, column)
        if current is not None and number in wanted:
            current.cells[column] = element
    return rows, min(widest + 2, _LAST_COLUMN)


def _row_edits(
    content: bytes, number: int, row: _SheetRow, findings: Sequence[Finding], free_column: int, styles: MarkedStyles
) -> list[Edit]:
    tag = row.element.tag
    prefix = prefix_of(tag)
    worst: dict[int, Verdict] = {}
    for finding in findings:
        if reference := _CELL.fullmatch(finding.cell):
            column = column_number(reference[1])
            if worst.get(column) is not Verdict.ERROR:
                worst[column] = finding.verdict
    edits: list[Edit] = []
    new: dict[int, bytes] = {}
    for column, verdict in worst.items():
        element = row.cells.get(column)
        if element is None:
            style = styles.marked(0, verdict)
            new[column] = f'<{prefix}c r="{address(number, column)}" s="{style}"/>'.encode()
        else:
            before = element.tag.attributes.get("s", "0")
            style = styles.marked(int(before) if before.isdecimal() else 0, verdict)
            old = content[element.tag.start : element.tag.end]
            edits.append(Edit(element.tag.start, len(old), with_attribute(old, "s", str(style))))
    text = xml_text("; ".join(explained(finding) for finding in findings))[:30_000]
    new[free_column] = (
        f'<{prefix}c r="{address(number, free_column)}" t="inlineStr"><{prefix}is>'
        f'<{prefix}t xml:space="preserve">{text}</{prefix}t></{prefix}is></{prefix}c>'
    ).encode()
    old_tag = with_attribute(content[tag.start : tag.end], "spans", None)
    if tag.empty:
        cells = b"".join(new[column] for column in sorted(new))
        whole = old_tag[:-2].rstrip() + b">" + cells + f"</{tag.name}>".encode()
        return [Edit(tag.start, tag.end - tag.start, whole)]
    edits.append(Edit(tag.start, tag.end - tag.start, old_tag))
    return edits + _inserted(content, row, new)


def _inserted(content: bytes, row: _SheetRow, new: Mapping[int, bytes]) -> list[Edit]:
    """Return the edits that put new cells in their places; a blank cell in the free column gives way."""
    edits: list[Edit] = []
    for column in sorted(new):
        there = row.cells.get(column)
        if there is not None and there.tag.empty:
            edits.append(Edit(there.tag.start, there.tag.end - there.tag.start, new[column]))
            continue
        later = [element.tag.start for other, element in row.cells.items() if other > column]
        edits.append(Edit(min(later, default=row.element.close), 0, new[column]))
    return edits
