"""The user's own file back, each faulty cell marked and explained beside it."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Sequence
from pathlib import Path

from service.errors import SheetError
from service.sheets.cells import Table
from service.sheets.files import read_tables
from service.sheets.findings import Finding, Verdict
from service.sheets.findings_list import HEADINGS, WIDTHS, finding_row, write_findings_list, write_marked_copy
from service.sheets.limits import MAX_UNPACKED_BYTES
from service.sheets.marked_ods import marked_ods
from service.sheets.marked_sheet import marked_sheet
from service.sheets.marked_styles import MarkedStyles
from service.sheets.sniff import FileKind, file_kind
from service.sheets.splice import Edit, edited, elements, prefix_of, xml_text
from service.sheets.xlsx_book import Book, read_book, workbook_member
from service.sheets.xml_member import DAMAGED, whole

MOST_ROWS = 20_000
"""Rows above which a fresh list of findings is written instead of the marked file."""
_MOST_LISTED = 5_000
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_SHEET_RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def write_checked(path: Path, out: Path, findings: Sequence[Finding]) -> None:
    """Write the file of a job back with its findings.

    Workbooks in Open XML (.xlsx, .xlsm) and OpenDocument (.ods) keep everything:
    faulty cells are filled, a text right of the table says what to mend, and a
    sheet lists all findings. Other files come back as a workbook with the same
    cells. Above 20,000 rows only the list is written.

    Parameters
    ----------
    path
        The user's file.
    out
        Where to; ``checked_suffix`` says what its name should end in.
    findings
        As reading the file found them.

    Raises
    ------
    SheetError
        If the file cannot be read at all.
    """
    kind = file_kind(path)
    tables = read_tables(path)
    if _too_long(tables):
        write_findings_list(out, findings, f"the file has over {MOST_ROWS:,} rows; this is the list of its findings")
        return
    try:
        if kind is FileKind.XLSX:
            _write_marked(path, out, findings)
            return
        if kind is FileKind.ODS:
            _write_marked_ods(path, out, tables, findings)
            return
    except SheetError:
        # A workbook too unusual to be edited in place still gets its cells back with their marks.
        out.unlink(missing_ok=True)
    write_marked_copy(out, tables, findings)


def checked_suffix(content: bytes) -> str:
    """Return what the name of a checked file should end in, by what it is.

    Raises
    ------
    SheetError
        If it is no file that ``write_checked`` wrote.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if "content.xml" in archive.namelist():
                return ".ods"
            types = archive.read("[Content_Types].xml")
    except (zipfile.BadZipFile, KeyError) as error:
        raise SheetError(DAMAGED) from error
    return ".xlsm" if b"macroEnabled" in types else ".xlsx"


def _too_long(tables: Sequence[Table]) -> bool:
    return sum(len(table.rows) for table in tables) > MOST_ROWS


def _write_marked_ods(path: Path, out: Path, tables: Sequence[Table], findings: Sequence[Finding]) -> None:
    with zipfile.ZipFile(path) as archive:
        content = marked_ods(whole(archive, "content.xml"), tables, findings)
        with zipfile.ZipFile(out, "w") as copy:
            for member in archive.infolist():
                copy.writestr(member, content if member.filename == "content.xml" else whole(archive, member))


def _write_marked(path: Path, out: Path, findings: Sequence[Finding]) -> None:
    with zipfile.ZipFile(path) as archive:
        book = read_book(archive)
        workbook = workbook_member(archive)
        if book.styles_member is None:
            raise SheetError("the workbook has no styles")
        styles = MarkedStyles(whole(archive, book.styles_member))
        changed: dict[str, bytes] = {}
        for entry in book.sheets:
            ours = [each for each in findings if each.sheet == entry.name and each.verdict is not Verdict.NOTICE]
            if ours:
                changed[entry.member] = marked_sheet(whole(archive, entry.member), ours, styles)
        changed[book.styles_member] = styles.content()
        changed |= _with_list(archive, book, workbook, findings)
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as copy:
            for member in archive.infolist():
                if member.file_size > MAX_UNPACKED_BYTES:
                    raise SheetError("the workbook is too large to be written back")
                copy.writestr(member, changed.pop(member.filename, b"") or whole(archive, member))
            for name, content in changed.items():
                copy.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)


def _with_list(archive: zipfile.ZipFile, book: Book, workbook: str, findings: Sequence[Finding]) -> dict[str, bytes]:
    """Return the members that change when a sheet of findings is added at the end of the workbook."""
    names = set(archive.namelist())
    folder, _, file = workbook.rpartition("/")
    number = next(n for n in range(1, 10_000) if f"{folder}/worksheets/findings{n}.xml" not in names)
    member = f"{folder}/worksheets/findings{number}.xml"
    relations = f"{folder}/_rels/{file}.rels"
    relation = f"rIdFindings{number}"
    return {
        member: _list_xml(findings),
        workbook: _with_sheet(whole(archive, workbook), book, relation),
        relations: _appended(
            whole(archive, relations),
            "Relationships",
            f'<{{}}Relationship Id="{relation}" Type="{_SHEET_RELATION}" Target="worksheets/findings{number}.xml"/>',
        ),
        "[Content_Types].xml": _appended(
            whole(archive, "[Content_Types].xml"),
            "Types",
            f'<{{}}Override PartName="/{member}" ContentType="{_SHEET_TYPE}"/>',
        ),
    }


def _with_sheet(content: bytes, book: Book, relation: str) -> bytes:
    found = elements(content, ("sheets", "sheet"))
    block = next(each for each in found if each.tag.name.endswith("sheets"))
    entries = [each.tag for each in found if each.tag.name.endswith("sheet")]
    identity = next(name for name in entries[0].attributes if re.fullmatch(r"\w+:id", name))
    highest = max(int(tag.attributes.get("sheetId", "0")) for tag in entries)
    taken = {tag.attributes.get("name", "").casefold() for tag in entries}
    name = next(each for each in ("findings", *(f"findings {n}" for n in range(2, 10_000))) if each not in taken)
    entry = f'<{prefix_of(block.tag)}sheet name="{name}" sheetId="{highest + 1}" {identity}="{relation}"/>'
    return edited(content, [Edit(block.close, 0, entry.encode())])


def _appended(content: bytes, root: str, entry: str) -> bytes:
    element = next(iter(elements(content, (root,))), None)
    if element is None:
        raise SheetError(DAMAGED)
    return edited(content, [Edit(element.close, 0, entry.format(prefix_of(element.tag)).encode())])


def _list_xml(findings: Sequence[Finding]) -> bytes:
    columns = "".join(
        f'<col min="{number}" max="{number}" width="{width}" customWidth="1"/>'
        for number, width in enumerate(WIDTHS, 1)
    )
    lines = [HEADINGS, *(finding_row(finding) for finding in findings[:_MOST_LISTED])]
    if len(findings) > _MOST_LISTED:
        lines.append((f"and {len(findings) - _MOST_LISTED:,} more", "", "", "", "", ""))
    rows = "".join(
        f'<row r="{number}">'
        + "".join(f'<c t="inlineStr"><is><t xml:space="preserve">{xml_text(text)}</t></is></c>' for text in line)
        + "</row>"
        for number, line in enumerate(lines, 1)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
        f'<worksheet xmlns="{_MAIN}"><cols>{columns}</cols><sheetData>{rows}</sheetData></worksheet>'
    ).encode()
