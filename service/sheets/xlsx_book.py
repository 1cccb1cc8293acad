"""The members of an Open XML workbook beside its sheets: sheet list, styles, texts.

References
----------
ISO/IEC 29500-1 (SpreadsheetML): 18.2 workbook, 18.4 shared strings, 18.8 styles.
"""

from __future__ import annotations

import posixpath
import zipfile
from dataclasses import dataclass

from service.errors import SheetError
from service.sheets.formats import PLAIN, Format, built_in, number_format
from service.sheets.limits import MAX_SHEETS
from service.sheets.shared_texts import shared_texts
from service.sheets.xml_member import NoSuchMemberError, chunks, parse


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """One sheet of the workbook: its name, the member that holds it, whether it is hidden."""

    name: str
    member: str
    hidden: bool


@dataclass(frozen=True, slots=True)
class Book:
    """What the sheets refer to. ``formats`` by style number, ``texts`` by shared string number."""

    sheets: tuple[SheetEntry, ...]
    since_1904: bool
    styles_member: str | None
    formats: tuple[Format, ...]
    texts: tuple[str, ...]
    struck: frozenset[int] = frozenset()
    """Style numbers whose font is struck through."""


def read_book(archive: zipfile.ZipFile) -> Book:
    """Return the workbook's sheet list, styles and texts.

    Raises
    ------
    SheetError
        If it is damaged or holds no sheet.
    """
    workbook = workbook_member(archive)
    folder, file = posixpath.split(workbook)
    relations = _relations(archive, f"{folder}/_rels/{file}.rels", folder)
    entries: list[SheetEntry] = []
    since_1904 = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal since_1904
        if name == "sheet":
            kind, member = relations.get(attributes.get("id", ""), ("", ""))
            if kind.endswith("/worksheet"):
                hidden = attributes.get("state", "visible") != "visible"
                entries.append(SheetEntry(attributes.get("name", ""), member, hidden))
        elif name == "workbookPr":
            since_1904 = attributes.get("date1904", "0") in {"1", "true", "on"}

    parse(chunks(archive, workbook), start)
    if not entries or len(entries) > MAX_SHEETS:
        raise SheetError("the workbook holds no sheet with cells, or hundreds of them; it is not read")
    formats, struck = _formats(archive, _of_kind(relations, "styles"))
    members = {kind.rpartition("/")[2]: member for kind, member in relations.values()}
    return Book(
        sheets=tuple(entries),
        since_1904=since_1904,
        styles_member=members.get("styles"),
        formats=formats,
        struck=struck,
        texts=shared_texts(archive, members.get("sharedStrings")),
    )


def _of_kind(relations: dict[str, tuple[str, str]], kind: str) -> str | None:
    return next((member for of, member in relations.values() if of.rpartition("/")[2] == kind), None)


def workbook_member(archive: zipfile.ZipFile) -> str:
    """Return the member that lists the sheets."""
    return _member_of_kind(archive, "_rels/.rels", "/officeDocument", "xl/workbook.xml")


def _relations(archive: zipfile.ZipFile, name: str, folder: str) -> dict[str, tuple[str, str]]:
    """Return relation number -> (kind, member)."""
    found: dict[str, tuple[str, str]] = {}

    def start(element: str, attributes: dict[str, str]) -> None:
        if element == "Relationship" and attributes.get("TargetMode") != "External":
            target = attributes.get("Target", "")
            member = (
                target.lstrip("/") if target.startswith("/") else posixpath.normpath(f"{folder}/{target}").lstrip("/")
            )
            found[attributes.get("Id", "")] = (attributes.get("Type", ""), member)

    parse(chunks(archive, name), start)
    return found


def _member_of_kind(archive: zipfile.ZipFile, name: str, kind: str, default: str) -> str:
    try:
        return next((member for of, member in _relations(archive, name, "").values() if of.endswith(kind)), default)
    except NoSuchMemberError:
        return default


def _formats(archive: zipfile.ZipFile, member: str | None) -> tuple[tuple[Format, ...], frozenset[int]]:
    """Return the number format behind each style number, and the styles that strike text through."""
    if member is None:
        return (), frozenset()
    codes: dict[int, str] = {}
    formats: list[Format] = []
    struck: set[int] = set()
    fonts: list[bool] = []
    inside = in_fonts = False

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal inside, in_fonts
        if name == "fonts":
            in_fonts = True
        elif name == "font" and in_fonts:
            fonts.append(False)
        elif name == "strike" and in_fonts and fonts:
            fonts[-1] = attributes.get("val", "1") not in {"0", "false"}
        elif name == "numFmt" and "numFmtId" in attributes:
            codes[_whole(attributes["numFmtId"])] = attributes.get("formatCode", "")
        elif name == "cellXfs":
            inside = True
        elif name == "xf" and inside and len(formats) < 100_000:
            number = _whole(attributes.get("numFmtId", "0"))
            font = _whole(attributes.get("fontId", "0"))
            if font < len(fonts) and fonts[font]:
                struck.add(len(formats))
            formats.append(number_format(codes[number][:255]) if number in codes else built_in(number))

    def end(name: str) -> None:
        nonlocal inside, in_fonts
        in_fonts = in_fonts and name != "fonts"
        inside = inside and name != "cellXfs"

    try:
        parse(chunks(archive, member), start, end)
    except NoSuchMemberError:
        return (), frozenset()
    return tuple(formats) or (PLAIN,), frozenset(struck)


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0
