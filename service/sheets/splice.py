"""Edits to XML by byte position, so that everything not edited stays as it was, byte for byte."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from xml.parsers import expat
from xml.sax.saxutils import escape

from service.errors import SheetError
from service.sheets.xml_member import DAMAGED

_TAG_END = re.compile(rb"""(?:[^>"']|"[^"]*"|'[^']*')*>""")
_ILLEGAL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Edit:
    """Replace ``length`` bytes at ``offset`` by ``text``; length 0 inserts."""

    offset: int
    length: int
    text: bytes


@dataclass(frozen=True, slots=True)
class Tag:
    """A start tag in a document: where it stands and what it says. ``empty`` tags close themselves."""

    name: str
    start: int
    end: int
    attributes: dict[str, str]
    empty: bool


@dataclass(slots=True)
class Element:
    """A tag with where its end tag stands; ``close`` is the start of the end tag, or of the tag itself if empty."""

    tag: Tag
    close: int = 0


def edited(content: bytes, edits: Iterable[Edit]) -> bytes:
    """Return the content with all edits made; edits never overlap, and those at one place keep their order."""
    pieces: list[bytes] = []
    position = 0
    for edit in sorted(edits, key=lambda each: each.offset):
        pieces += (content[position : edit.offset], edit.text)
        position = edit.offset + edit.length
    return b"".join((*pieces, content[position:]))


def elements(content: bytes, names: Iterable[str]) -> list[Element]:
    """Return every element of some names, in document order, with byte positions.

    Raises
    ------
    SheetError
        If the XML is broken or not UTF-8, whose positions alone are bytes.
    """
    wanted = set(names)
    found: list[Element] = []
    open_elements: list[Element] = []
    parser = expat.ParserCreate(encoding="utf-8")

    def start(name: str, attributes: dict[str, str]) -> None:
        local = name.rpartition(":")[2]
        if local in wanted:
            offset = parser.CurrentByteIndex
            match = _TAG_END.match(content, offset)
            end = match.end() if match is not None else offset
            tag = Tag(name, offset, end, attributes, content[end - 2 : end] == b"/>")
            element = Element(tag)
            found.append(element)
            open_elements.append(element)

    def close(name: str) -> None:
        if name.rpartition(":")[2] in wanted:
            open_elements.pop().close = parser.CurrentByteIndex

    parser.StartElementHandler = start
    parser.EndElementHandler = close
    try:
        parser.Parse(content, True)
    except expat.ExpatError as error:
        raise SheetError(DAMAGED) from error
    return found


def with_attribute(tag: bytes, name: str, value: str | None) -> bytes:
    """Return a start tag with one attribute set, or taken out.

    Examples
    --------
    >>> with_attribute(b'<c r="A1" s="3"/>', "s", "7"), with_attribute(b'<row r="1" spans="1:2">', "spans", None)
    (b'<c r="A1" s="7"/>', b'<row r="1">')
    """
    without = re.sub(rb"\s" + name.encode() + rb"""\s*=\s*(?:"[^"]*"|'[^']*')""", b"", tag, count=1)
    if value is None:
        return without
    body = without[:-2] if without.endswith(b"/>") else without[:-1]
    return body.rstrip() + f' {name}="{value}"'.encode() + without[len(body) :].lstrip()


def prefix_of(tag: Tag) -> str:
    """Return the namespace prefix of a tag with its colon, or an empty text."""
    prefix, colon, _ = tag.name.rpartition(":")
    return prefix + colon


def xml_text(text: str) -> str:
    """Return a text as it may stand in XML: escaped, without characters XML cannot hold."""
    return escape(_ILLEGAL.sub("", text), {'"': "&quot;"})
