"""XML members of packed workbooks, read in chunks and without entities."""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Callable, Iterator
from xml.parsers import expat

from service.errors import SheetError
from service.sheets.limits import MAX_UNPACKED_BYTES

_CHUNK = 1 << 20
DAMAGED = "the file is damaged or cut short; open it in your spreadsheet program and save it again"
"""What to say of a file that ends early or contradicts itself."""


class NoSuchMemberError(SheetError):
    """A member that the workbook names but does not hold."""


def chunks(archive: zipfile.ZipFile, name: str | zipfile.ZipInfo) -> Iterator[bytes]:
    """Yield a member's unpacked bytes, never more in all than a workbook may have.

    Raises
    ------
    SheetError
        If the member is missing, damaged or too large.
    """
    total = 0
    try:
        with archive.open(name) as member:
            while chunk := member.read(_CHUNK):
                total += len(chunk)
                if total > MAX_UNPACKED_BYTES:
                    raise SheetError("the file unpacks to far more than any list of openings holds; it is not read")
                yield chunk
    except KeyError as error:
        raise NoSuchMemberError(DAMAGED) from error
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, ValueError) as error:
        raise SheetError(DAMAGED) from error


def whole(archive: zipfile.ZipFile, name: str | zipfile.ZipInfo) -> bytes:
    """Return a member's unpacked bytes.

    Raises
    ------
    SheetError
        If the member is missing, damaged or too large.
    """
    return b"".join(chunks(archive, name))


Start = Callable[[str, dict[str, str]], None]
End = Callable[[str], None]
Text = Callable[[str], None]


class XmlFeed:
    """An XML parser fed piece by piece; names and attributes come without their prefixes.

    Broken XML and declared entities, which no spreadsheet program writes, end in a ``SheetError``.
    """

    def __init__(self, start: Start, end: End | None = None, text: Text | None = None) -> None:
        self._parser = expat.ParserCreate(namespace_separator="|")
        self._parser.buffer_text = True

        def start_element(name: str, attributes: dict[str, str]) -> None:
            start(name.rpartition("|")[2], {key.rpartition("|")[2]: value for key, value in attributes.items()})

        self._parser.StartElementHandler = start_element
        if end is not None:
            close = end
            self._parser.EndElementHandler = lambda name: close(name.rpartition("|")[2])
        if text is not None:
            self._parser.CharacterDataHandler = text
        self._parser.StartDoctypeDeclHandler = _refuse
        self._parser.EntityDeclHandler = _refuse

    def feed(self, piece: bytes, *, last: bool = False) -> None:
        """Parse one more piece.

        Raises
        ------
        SheetError
            If the XML is broken, declares entities, or names an encoding that nothing can read.
        """
        try:
            self._parser.Parse(piece, last)
        except (
            expat.ExpatError,
            LookupError,
            ValueError,
        ) as error:  # the last two: an unknown encoding, a code of many bytes
            raise SheetError(DAMAGED) from error


def parse(pieces: Iterator[bytes], start: Start, end: End | None = None, text: Text | None = None) -> None:
    """Feed a whole member to the callbacks."""
    reader = XmlFeed(start, end, text)
    for piece in pieces:
        reader.feed(piece)
    reader.feed(b"", last=True)


def _refuse(*declaration: object) -> None:
    del declaration
    raise SheetError("the file holds a document type declaration, which no spreadsheet program writes; it is not read")
