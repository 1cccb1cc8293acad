"""The texts that cells of an Open XML workbook share, by number.

References
----------
ISO/IEC 29500-1, 18.4: sst, si, t; phonetic runs (rPh) are reading aids and no part of a text.
"""

from __future__ import annotations

import re
import zipfile
from html import unescape

from service.errors import SheetError
from service.sheets.limits import MAX_TEXT, MAX_TEXT_TOTAL, MAX_TEXTS
from service.sheets.xml_member import NoSuchMemberError, XmlFeed, chunks

_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_HEAD = re.compile(rb"(?:\s*<\?xml[^>]*\?>)?\s*<sst[^>]*>", re.IGNORECASE)
_PLAIN = re.compile(rb'\s*<si><t(?: xml:space="preserve")?>([^<]*)</t></si>')
_LONGEST_PLAIN = 1 << 16


def unescaped(text: str) -> str:
    """Return a text with its escaped control characters dropped (ISO/IEC 29500-1, 22.9.2.19).

    Examples
    --------
    >>> unescaped("27_x000D_ 5/8")
    '27 5/8'
    """
    if "_x" not in text:
        return text
    return _ESCAPED.sub(lambda found: letter if (letter := chr(int(found[1], 16))).isprintable() else "", text)


def shared_texts(archive: zipfile.ZipFile, member: str | None) -> tuple[str, ...]:
    """Return the shared texts in their order; an empty tuple if the workbook has none.

    Plain texts are taken apart by one expression; from the first that is not
    plain on, an XML parser reads them.

    Raises
    ------
    SheetError
        If there is far more text than in any list of openings.
    """
    if member is None:
        return ()
    texts = _Texts()
    try:
        pieces = chunks(archive, member)
        buffer = next(pieces, b"")
        head = _HEAD.match(buffer)
        position = 0
        if head is not None and (b"encoding" not in head[0] or b'"utf-8"' in head[0].lower()):
            texts.careful.feed(head[0])
            position = head.end()
            while True:
                found = _PLAIN.match(buffer, position)
                if found is not None and texts.plain(found[1]):
                    position = found.end()
                    continue
                if found is None and len(buffer) - position < _LONGEST_PLAIN and (piece := next(pieces, b"")):
                    buffer, position = buffer[position:] + piece, 0
                    continue
                break
        texts.careful.feed(buffer[position:])
        for piece in pieces:
            texts.careful.feed(piece)
        texts.careful.feed(b"", last=True)
    except NoSuchMemberError:
        return ()
    return tuple(texts.found)


class _Texts:
    """Collects texts from plain bytes and from an XML parser alike."""

    def __init__(self) -> None:
        self.found: list[str] = []
        self._total = 0
        self._pieces: list[str] = []
        self._length = 0
        self._reading = self._aside = False
        self.careful = XmlFeed(self._start, self._end, self._text)

    def plain(self, content: bytes) -> bool:
        """Take one text as it stands in the file; return whether it could be taken."""
        try:
            text = content.decode()
        except UnicodeDecodeError:
            return False
        self._take(unescape(text) if "&" in text else text)
        return True

    def _take(self, text: str) -> None:
        text = unescaped(text[:MAX_TEXT])
        self._total += len(text)
        if self._total > MAX_TEXT_TOTAL or len(self.found) >= MAX_TEXTS:
            raise SheetError("the workbook holds far more text than any list of openings; it is not read")
        self.found.append(text)

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        del attributes
        if name == "si":
            self._pieces.clear()
            self._length = 0
        elif name == "rPh":
            self._aside = True
        elif name == "t":
            self._reading = not self._aside

    def _end(self, name: str) -> None:
        if name == "t":
            self._reading = False
        elif name == "rPh":
            self._aside = False
        elif name == "si":
            self._take("".join(self._pieces))

    def _text(self, piece: str) -> None:
        if self._reading and self._length < MAX_TEXT:
            self._pieces.append(piece[:MAX_TEXT])
            self._length += len(piece)
