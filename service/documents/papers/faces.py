"""The type faces of all papers, shipped with the program so that every machine prints the same.

DejaVu Sans Condensed covers Latin, Greek, Cyrillic, Hebrew and Arabic; what it lacks of Chinese,
Japanese and Korean is taken from Droid Sans Fallback. Their licences lie beside them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import Enum
from functools import cache, lru_cache
from itertools import groupby
from pathlib import Path

from reportlab.pdfbase.ttfonts import TTFont

from service.documents.papers.reading_order import as_drawn

_FONTS = Path(__file__).with_name("fonts")


class Face(Enum):
    """A type face by its name in the PDF."""

    PLAIN = "ScreenbatchPlain"
    BOLD = "ScreenbatchBold"
    EAST = "ScreenbatchEast"

    def __hash__(self) -> int:
        """Return the hash of the identity: a face is looked up for every text."""
        return id(self)


_FILES = {
    Face.PLAIN: "DejaVuSansCondensed.ttf",
    Face.BOLD: "DejaVuSansCondensed-Bold.ttf",
    Face.EAST: "DroidSansFallback.ttf",
}


@cache
def font(face: Face) -> TTFont:
    """Return a face as the PDF library holds it."""
    return TTFont(face.value, str(_FONTS / _FILES[face]))


class _Widths(dict[str, float]):
    """Width of each character at size 1; what the face lacks is as wide as its empty box."""

    def __init__(self, widths: Mapping[int, float], other: float) -> None:
        super().__init__({chr(code): width / 1000 for code, width in widths.items()})
        self._other = other / 1000

    def __missing__(self, character: str) -> float:
        self[character] = self._other
        return self._other


@cache
def _widths(face: Face) -> _Widths:
    letters = font(face).face
    return _Widths(letters.charWidths, letters.defaultWidth)


@lru_cache(maxsize=50_000)
def drawn_runs(text: str, face: Face) -> tuple[tuple[Face, str], ...]:
    r"""Return a text in the order it is drawn, as runs of one face each: what a face lacks is in another.

    Examples
    --------
    >>> [(run.name, letters) for run, letters in drawn_runs("No. 3 \u53f0", Face.BOLD)]
    [('BOLD', 'No. 3 '), ('EAST', '台')]
    """
    runs = groupby(as_drawn(text), key=lambda letter: _face_of(letter, face))
    return tuple((run, "".join(letters)) for run, letters in runs)


def _face_of(letter: str, face: Face) -> Face:
    code = ord(letter)
    lacks = code > 0x2E7F and code not in font(face).face.charToGlyph
    return Face.EAST if lacks and code in font(Face.EAST).face.charToGlyph else face


@lru_cache(maxsize=50_000)
def unit_width(text: str, face: Face) -> float:
    """Return the width of a text at size 1, in points."""
    if text.isascii():
        return sum(map(_widths(face).__getitem__, text))
    return sum(drawn_width(letters, run) for run, letters in drawn_runs(text, face))


def drawn_width(letters: str, face: Face) -> float:
    """Return the width at size 1 of letters that stand in the order they are drawn."""
    return sum(map(_widths(face).__getitem__, letters))


def text_width(text: str, face: Face, size: float) -> float:
    """Return the width of a text in points."""
    return unit_width(text, face) * size


def fitted_size(text: str, face: Face, size: float, width: float) -> float:
    """Return the largest size up to ``size`` at which a text is no wider than ``width``."""
    wide = unit_width(text, face)
    return size if wide * size <= width else width / wide


@lru_cache(maxsize=20_000)
def wrapped(text: str, face: Face, size: float, width: float) -> tuple[str, ...]:
    """Return a text as lines no wider than ``width``; a word that is too wide is broken.

    Examples
    --------
    >>> wrapped("one two three", Face.PLAIN, 10, 45)
    ('one two', 'three')
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        if text_width(paragraph, face, size) <= width:
            lines.append(paragraph)
            continue
        line = ""
        for word in _BREAKS.split(paragraph.strip()):
            longer = f"{line} {word}" if line else word
            if text_width(longer, face, size) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _broken(word, face, size, width)
            lines += full
        lines.append(line)
    return tuple(lines)


_BREAKS = re.compile(r"[ \t]+")
"""A no-break space is none."""


def _broken(word: str, face: Face, size: float, width: float) -> list[str]:
    parts = [""]
    for character in word:
        if parts[-1] and text_width(parts[-1] + character, face, size) > width:
            parts.append("")
        parts[-1] += character
    return parts
