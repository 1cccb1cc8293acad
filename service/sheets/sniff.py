"""What a file really is, by its first bytes, and whether it is safe to open."""

from __future__ import annotations

import zipfile
from enum import Enum
from pathlib import Path

from service.errors import SheetError
from service.sheets.limits import MAX_FILE_BYTES, MAX_RATIO, MAX_UNPACKED_BYTES
from service.sheets.xml_member import chunks


class FileKind(Enum):
    """The file formats read as jobs."""

    XLSX = "xlsx"
    ODS = "ods"
    XLS = "xls"
    CSV = "csv"


_SAVE_AS = "save it as .xlsx, .ods or .csv and give that file"
_OLE = bytes.fromhex("d0cf11e0a1b11ae1")
_CHUNK = 1 << 20


def file_kind(path: Path) -> FileKind:
    """Return what kind of table a file is; its name does not count.

    Raises
    ------
    SheetError
        If the file is empty, too large, locked with a password, or no table.
    """
    size = path.stat().st_size
    if size == 0:
        raise SheetError("the file is empty; save the list again and give that file")
    if size > MAX_FILE_BYTES:
        raise SheetError(
            f"the file has {size / 1e6:.0f} MB, the most is {MAX_FILE_BYTES / 1e6:.0f} MB; "
            "remove pictures and unused sheets, or split the job"
        )
    with path.open("rb") as file:
        head = file.read(4096)
    if head.startswith(b"PK"):
        return _packed_kind(path)
    if head.startswith(_OLE):
        return _compound_kind(path)
    if head.startswith((b"\x09\x08", b"\x09\x04", b"\x09\x02", b"\x09\x00")):
        return FileKind.XLS
    _refuse_other_files(head)
    return FileKind.CSV


def _packed_kind(path: Path) -> FileKind:
    try:
        with zipfile.ZipFile(path) as archive:
            return _checked_archive(archive)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, EOFError, OSError, ValueError, NotImplementedError) as error:
        raise SheetError(
            f"the file is damaged or cut short; open it in your spreadsheet program and {_SAVE_AS}"
        ) from error


def _checked_archive(archive: zipfile.ZipFile) -> FileKind:
    names = {member.filename for member in archive.infolist()}
    total = 0
    for member in archive.infolist():
        if member.flag_bits & 0x1:
            raise SheetError(f"the file is locked with a password; take the password off, {_SAVE_AS}")
        total += member.file_size
        if member.file_size > _CHUNK and member.file_size > MAX_RATIO * max(1, member.compress_size):
            raise SheetError("the file unpacks to far more than any list of openings holds; it is not opened")
    if total > MAX_UNPACKED_BYTES or len(names) > 20_000:
        raise SheetError("the file unpacks to far more than any list of openings holds; it is not opened")
    if len(names) < len(archive.infolist()):
        raise SheetError(f"the file holds two members of one name; open it in your spreadsheet program and {_SAVE_AS}")
    if "xl/workbook.bin" in names:
        raise SheetError(f"this is a binary workbook (.xlsb); {_SAVE_AS}")
    if "content.xml" in names:
        if "META-INF/manifest.xml" in names and b"encryption-data" in next(
            chunks(archive, "META-INF/manifest.xml"), b""
        ):
            raise SheetError(f"the file is locked with a password; take the password off, {_SAVE_AS}")
        return FileKind.ODS
    if any(name.lower().startswith("xl/") for name in names) or "[Content_Types].xml" in names:
        if any(name.startswith("word/") for name in names):
            raise SheetError(f"this is a text document, not a table; copy the list into a spreadsheet and {_SAVE_AS}")
        return FileKind.XLSX
    raise SheetError(f"this is a packed folder, not a table; unpack it and give the spreadsheet inside ({_SAVE_AS})")


def _compound_kind(path: Path) -> FileKind:
    content = path.read_bytes()
    if "EncryptedPackage".encode("utf-16-le") in content:
        raise SheetError(f"the file is locked with a password; take the password off, {_SAVE_AS}")
    if "Workbook".encode("utf-16-le") in content or "Book".encode("utf-16-le") in content:
        return FileKind.XLS
    raise SheetError(f"this is no spreadsheet; copy the list into a spreadsheet and {_SAVE_AS}")


def _refuse_other_files(head: bytes) -> None:
    start = head.removeprefix(b"\xef\xbb\xbf").lstrip()[:512].lower()
    if start.startswith((b"<!doctype html", b"<html", b"<table", b"<meta", b"<head", b"<body")):
        raise SheetError(
            f"this is a web page, whatever its name says; open it in your spreadsheet program and {_SAVE_AS}"
        )
    if start.startswith((b"<?xml", b"<")):
        raise SheetError(f"this is an XML file, not a table; open it in your spreadsheet program and {_SAVE_AS}")
    if start.startswith(b"%pdf"):
        raise SheetError(f"this is a PDF; a size copied from it by hand is safer: make a spreadsheet and {_SAVE_AS}")
    if start.startswith(b"{\\rtf"):
        raise SheetError(f"this is a text document, not a table; copy the list into a spreadsheet and {_SAVE_AS}")
    if head.startswith(
        (b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"II*\x00", b"MM\x00*", b"\x1f\x8b", b"7z\xbc\xaf", b"Rar!")
    ):
        raise SheetError(f"this is a picture or a packed file, not a table; make a spreadsheet and {_SAVE_AS}")
    if b"\x00" in head and not head.startswith((b"\xff\xfe", b"\xfe\xff")) and not _wide_text(head):
        raise SheetError(f"this is no table that can be read; open it in your spreadsheet program and {_SAVE_AS}")


def _wide_text(head: bytes) -> bool:
    """Return whether text without a byte order mark is two bytes a letter: every second byte is 0."""
    odd, even = head[1::2], head[0::2]
    return bool(odd) and (odd.count(0) > 0.8 * len(odd) or even.count(0) > 0.8 * len(even))
