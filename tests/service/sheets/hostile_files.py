"""Files made to break a reader: each builder writes one into a folder and returns its path."""

import io
import struct
import zipfile
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from tests.service.sheets.sheet_makers import widths

MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
OLE = bytes.fromhex("d0cf11e0a1b11ae1")
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_HEADING = "".join(
    f'<c r="{letter}1" t="inlineStr"><is><t>{word}</t></is></c>'
    for letter, word in zip("ABC", ("label", "width", "height"), strict=True)
)
_ROW = (
    '<row r="{0}"><c r="A{0}" t="inlineStr"><is><t>W{0}</t></is></c><c r="B{0}"><v>27.625</v></c>'
    '<c r="C{0}"><v>{1}</v></c></row>'
)


def xlsx(path: Path, sheet: Iterable[str], shared: Iterable[str] | None = None) -> Path:
    """Write a workbook of one sheet from raw XML, piece by piece."""
    types = '<Default Extension="xml" ContentType="application/xml"/>'
    shared_relation = (
        f'<Relationship Id="r2" Type="{_RELATIONS}/sharedStrings" Target="sharedStrings.xml"/>' if shared else ""
    )
    members: dict[str, Iterable[str]] = {
        "[Content_Types].xml": [f'<Types xmlns="{_PACKAGE}/content-types">{types}</Types>'],
        "_rels/.rels": [
            f'<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="r1" '
            f'Type="{_RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>'
        ],
        "xl/workbook.xml": [
            f'<workbook {MAIN} xmlns:r="{_RELATIONS}"><sheets><sheet name="openings" sheetId="1" r:id="r1"/></sheets>'
            "</workbook>"
        ],
        "xl/_rels/workbook.xml.rels": [
            f'<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="r1" Type="{_RELATIONS}/worksheet" '
            f'Target="worksheets/sheet1.xml"/>{shared_relation}</Relationships>'
        ],
        "xl/worksheets/sheet1.xml": sheet,
    }
    if shared:
        members["xl/sharedStrings.xml"] = shared
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, pieces in members.items():
            with archive.open(name, "w", force_zip64=True) as member:
                for piece in pieces:
                    member.write(piece.encode())
    return path


def sheet(rows: Iterable[str], before: str = "", after: str = "") -> Iterator[str]:
    """Yield a sheet's XML with headings and rows."""
    yield f'<?xml version="1.0" encoding="UTF-8"?><worksheet {MAIN}>{before}<sheetData><row r="1">{_HEADING}</row>'
    yield from rows
    yield f"</sheetData>{after}</worksheet>"


def million_rows(folder: Path) -> Path:
    rows = ("".join(_ROW.format(n, 20 + n % 700 / 16) for n in range(k, k + 1000)) for k in range(2, 400_000, 1000))
    return xlsx(folder / "rows.xlsx", sheet(rows))


def blank_formatted_rows(folder: Path) -> Path:
    def row(n: int) -> str:
        return f'<row r="{n}">' + "".join(f'<c r="{c}{n}" s="{n % 7}"/>' for c in "ABCDEFGHIJ") + "</row>"

    rows = ("".join(map(row, range(k, k + 1000))) for k in range(3, 300_000, 1000))
    return xlsx(folder / "blank.xlsx", sheet([_ROW.format(2, 41.5), *rows]))


def whitespace(folder: Path) -> Path:
    return xlsx(folder / "white.xlsx", sheet([" " * (1 << 20)] * 700))


def corner_cells(folder: Path) -> Path:
    corner = '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'
    return xlsx(folder / "corner.xlsx", sheet([_ROW.format(2, 41.5), corner], '<dimension ref="A1:XFD1048576"/>'))


def far_cell_in_every_row(folder: Path) -> Path:
    rows = (f'<row r="{n}"><c r="XFD{n}"><v>{n}</v></c></row>' for n in range(3, 200_000))
    return xlsx(folder / "far.xlsx", sheet([_ROW.format(2, 41.5), *rows]))


def giant_merges(folder: Path) -> Path:
    merges = "".join(f'<mergeCell ref="A{n}:XFD1048576"/>' for n in range(1, 60_000))
    return xlsx(folder / "merges.xlsx", sheet([_ROW.format(2, 41.5)], after=f"<mergeCells>{merges}</mergeCells>"))


def lying_dimension(folder: Path) -> Path:
    return xlsx(folder / "lying.xlsx", sheet([_ROW.format(2, 41.5)], '<dimension ref="A1:B1"/>'))


def entities(folder: Path) -> Path:
    bomb = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    document = f'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY e0 "ha">{bomb}]><worksheet {MAIN}><sheetData><row r="1">'
    return xlsx(folder / "entities.xlsx", [document, '<c r="A1"><v>&e11;</v></c></row></sheetData></worksheet>'])


def outside_entity(folder: Path) -> Path:
    document = f'<!DOCTYPE w [<!ENTITY x SYSTEM "file:///etc/hostname">]><worksheet {MAIN}><sheetData><row r="1">'
    return xlsx(folder / "outside.xlsx", [document, '<c r="A1"><v>&x;</v></c></row></sheetData></worksheet>'])


def one_huge_text(folder: Path) -> Path:
    letters = "".join(chr(97 + n * n % 26) for n in range(1 << 20))
    shared = [f"<sst {MAIN}><si><t>", *[letters] * 100, "</t></si></sst>"]
    row = '<row r="2"><c r="A2" t="s"><v>0</v></c><c r="B2"><v>27.625</v></c><c r="C2"><v>41.5</v></c></row>'
    return xlsx(folder / "text.xlsx", sheet([row]), shared)


def many_texts(folder: Path) -> Path:
    def text(n: int) -> str:
        return f"<si><t>t{n * 7919 % 3_000_017}</t></si>"

    shared = ("".join(map(text, range(k, k + 1000))) for k in range(0, 2_200_000, 1000))
    return xlsx(folder / "texts.xlsx", sheet([_ROW.format(2, 41.5)]), [f"<sst {MAIN}>", *shared, "</sst>"])


def deep_nesting(folder: Path) -> Path:
    return xlsx(folder / "deep.xlsx", [f"<worksheet {MAIN}>", *["<x>" * 1000] * 1500])


def endless_row(folder: Path) -> Path:
    cells = ("".join(f'<c r="A{n}"><v>{n}</v></c>' for n in range(k, k + 1000)) for k in range(1, 4_000_000, 1000))
    return xlsx(folder / "endless.xlsx", [f"<worksheet {MAIN}><sheetData><row r='1'>", *cells])


def truncated(folder: Path) -> Path:
    path = widths(folder, [27.625])
    path.write_bytes(path.read_bytes()[:-400])
    return path


def cut_in_a_member(folder: Path) -> Path:
    return xlsx(folder / "cut.xlsx", [f"<worksheet {MAIN}><sheetData><row r='1'><c r='A1'><v>2"])


def lying_sizes(folder: Path) -> Path:
    """Write a member that says it unpacks to far less than it does."""
    path = xlsx(folder / "lying_sizes.xlsx", sheet([" " * (1 << 20)] * 64))
    content = bytearray(path.read_bytes())
    position = content.rfind(b"PK\x01\x02")
    content[position + 24 : position + 28] = struct.pack("<I", 4_000)
    path.write_bytes(bytes(content))
    return path


def bits_flipped(folder: Path) -> Path:
    path = widths(folder, [27.625] * 50)
    content = bytearray(path.read_bytes())
    for position in range(200, len(content) - 200, 97):
        content[position] ^= 0x55
    path.write_bytes(bytes(content))
    return path


def locked_xlsx(folder: Path) -> Path:
    path = folder / "locked.xlsx"
    path.write_bytes(OLE + b"\0" * 2000 + "EncryptedPackage".encode("utf-16-le") + b"\0" * 500)
    return path


def locked_zip(folder: Path) -> Path:
    path = widths(folder, [27.625])
    content = bytearray(path.read_bytes())
    for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        position = content.find(mark)
        while position >= 0:
            content[position + flags] |= 1
            position = content.find(mark, position + 4)
    path.write_bytes(bytes(content))
    return path


def csv_named_xlsx(folder: Path) -> Path:
    path = folder / "text.xlsx"
    path.write_text("label,width,height\nW1,27 5/8,41 1/2\n")
    return path


def html_named_xls(folder: Path) -> Path:
    path = folder / "page.xls"
    path.write_text("<html><table><tr><td>27 5/8</td></tr></table></html>")
    return path


def zip_of_something_else(folder: Path) -> Path:
    path = folder / "photos.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("photo.jpg", b"\xff\xd8\xff")
    return path


def broken_xls(folder: Path) -> Path:
    path = folder / "broken.xls"
    path.write_bytes(OLE + b"\x01" * 600 + "Workbook".encode("utf-16-le") + b"\x7f" * 4000)
    return path


def ods_of_repeats(folder: Path) -> Path:
    office = "urn:oasis:names:tc:opendocument:xmlns"
    cell = '<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="1000000000"/>'
    content = (
        f'<office:document-content xmlns:office="{office}:office:1.0" xmlns:table="{office}:table:1.0">'
        f'<office:body><office:spreadsheet><table:table table:name="a"><table:table-row '
        f'table:number-rows-repeated="1000000000">{cell}</table:table-row></table:table></office:spreadsheet>'
        "</office:body></office:document-content>"
    )
    path = folder / "repeats.ods"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
    return path


def csv_of_commas(folder: Path) -> Path:
    path = folder / "commas.csv"
    path.write_bytes(b"," * 40_000_000)
    return path


def csv_of_blank_lines(folder: Path) -> Path:
    path = folder / "lines.csv"
    path.write_bytes(b"\n" * 40_000_000)
    return path


def csv_of_one_quotation(folder: Path) -> Path:
    path = folder / "quote.csv"
    path.write_bytes(b'label,width,height\n"' + b"27 5/8,41 1/2\n" * 100_000)
    return path


def csv_of_nothing(folder: Path) -> Path:
    path = folder / "nul.csv"
    path.write_bytes(b"\x00\x01\x02\x03" * 10_000)
    return path


def too_many_members(folder: Path) -> Path:
    buffer = io.BytesIO(xlsx(folder / "members.xlsx", sheet([_ROW.format(2, 41.5)])).read_bytes())
    with zipfile.ZipFile(buffer, "a") as archive:
        for number in range(25_000):
            archive.writestr(f"x{number}", b"")
    path = folder / "members.xlsx"
    path.write_bytes(buffer.getvalue())
    return path


HOSTILE: dict[str, tuple[Callable[[Path], Path], str]] = {
    "a bomb of rows": (million_rows, "over 250,000 rows"),
    "rows that are only formatted": (blank_formatted_rows, "1 openings"),
    "most of a gigabyte of blanks": (whitespace, "unpacks to far more"),
    "cells in both far corners": (corner_cells, "columns beyond the 256th are not read"),
    "a far cell in every row": (far_cell_in_every_row, "columns beyond the 256th are not read"),
    "sixty thousand overlapping merges": (giant_merges, "1 openings"),
    "a dimension that lies": (lying_dimension, "1 openings"),
    "entities that multiply": (entities, "document type declaration"),
    "an entity that reads a file": (outside_entity, "document type declaration"),
    "one text of a hundred megabytes": (one_huge_text, "1 openings"),
    "two million texts": (many_texts, "far more text"),
    "a million open tags": (deep_nesting, "damaged or cut short"),
    "a row without an end": (endless_row, "more cells than any sheet"),
    "a file cut short": (truncated, "damaged or cut short"),
    "a member cut short": (cut_in_a_member, "damaged or cut short"),
    "a member that lies about its size": (lying_sizes, ""),
    "flipped bits": (bits_flipped, "damaged or cut short"),
    "a workbook with a password": (locked_xlsx, "locked with a password"),
    "an archive with a password": (locked_zip, "locked with a password"),
    "a text table named as a workbook": (csv_named_xlsx, "1 openings"),
    "a web page named as a workbook": (html_named_xls, "web page"),
    "an archive of something else": (zip_of_something_else, "packed folder"),
    "a broken old workbook": (broken_xls, "damaged or cut short"),
    "a billion repeated cells": (ods_of_repeats, "over 250,000 rows"),
    "forty million commas": (csv_of_commas, "far longer ones"),
    "forty million blank lines": (csv_of_blank_lines, "far more lines"),
    "a quotation mark without its fellow": (csv_of_one_quotation, "quotation mark"),
    "a text of control characters": (csv_of_nothing, "no table that can be read"),
    "twenty-five thousand members": (too_many_members, "unpacks to far more"),
}
