"""Texts as PDF operators, quickly: ten thousand screens are a million texts.

The PDF library embeds a face in subsets of 256 characters and gives each
character its code when it is first used. It is asked once for each character
here; a text is then translated in one step (ISO 32000-1, 9.4 text operators).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from reportlab.pdfgen.canvas import Canvas

from service.documents.papers.faces import Face, drawn_width, font


class _OtherSubsetError(Exception):
    """A character that is not in the first subset of its face."""


class Lettering:
    """One face in one document."""

    def __init__(self, canvas: Canvas, face: Face) -> None:
        self._document = canvas._doc
        self._face = face
        self._font = font(face)
        self._codes: dict[str, tuple[int, str]] = {}
        self._first = _FirstSubset(self)
        self._names = {0: self._name(0)}

    def operators(self, x: float, y: float, text: str, size: float) -> str:
        """Return the operators that write a text on the base line (x, y)."""
        try:
            letters = text.translate(self._first)
        except _OtherSubsetError:
            return "\n".join(self._piecewise(x, y, text, size))
        return f"BT {self._names[0]} {size:g} Tf 1 0 0 1 {x:.2f} {y:.2f} Tm ({letters}) Tj ET"

    def code(self, character: str) -> tuple[int, str]:
        """Return the subset of a character and its code there, written for a PDF string."""
        if character not in self._codes:
            ((subset, byte),) = self._font.splitString(character, self._document)
            self._codes[character] = (subset, _written(byte[0]))
        return self._codes[character]

    def _piecewise(self, x: float, y: float, text: str, size: float) -> Iterator[str]:
        for subset, characters in groupby(text, key=lambda character: self.code(character)[0]):
            piece = "".join(characters)
            letters = "".join(self.code(character)[1] for character in piece)
            if subset not in self._names:
                self._names[subset] = self._name(subset)
            yield f"BT {self._names[subset]} {size:g} Tf 1 0 0 1 {x:.2f} {y:.2f} Tm ({letters}) Tj ET"
            x += drawn_width(piece, self._face) * size

    def _name(self, subset: int) -> str:
        return str(self._font.getSubsetInternalName(subset, self._document))


class _FirstSubset(dict[int, str]):
    """Translation table of the first subset; fills itself, refuses what lies elsewhere."""

    def __init__(self, lettering: Lettering) -> None:
        self._lettering = lettering

    def __missing__(self, character: int) -> str:
        subset, written = self._lettering.code(chr(character))
        if subset:
            raise _OtherSubsetError
        self[character] = written
        return written


def _written(byte: int) -> str:
    """Return a byte as it stands in a PDF string literal (ISO 32000-1, 7.3.4.2)."""
    plain = 32 <= byte < 127 and byte not in b"()\\"
    return chr(byte) if plain else f"\\{byte:03o}"
