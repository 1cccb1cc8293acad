"""Scan codes of pieces, made fast: ten thousand screens carry fifty thousand of them.

QR codes of one version, error correction, mask, mode and text length differ
from each other linearly: Reed-Solomon coding, placement and masking are linear
or affine over GF(2) (ISO/IEC 18004; from memory). So the code of a text is the
code of all zeros, changed for each pair of characters by what that pair changes
at its position. What each pair changes is taken from the library once and kept.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

import segno

from service.errors import PaperError

_MASK = 3
_VERSIONS = ((20, 1), (38, 2), (61, 3))
"""Characters that versions 1 to 3 hold in alphanumeric mode at error correction M (ISO/IEC 18004, table 7)."""
ALPHABET = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")


@dataclass(frozen=True, kw_only=True, slots=True)
class ScanCode:
    """A QR code without quiet zone: ``side`` modules each way.

    ``rows`` holds the modules from the top as texts of 1 (dark) and 0; ``boxes``
    draws the dark ones as PDF rectangles, one unit to a module, origin lower left.
    """

    side: int
    rows: tuple[str, ...]

    @property
    def boxes(self) -> str:
        """Return the dark modules as rectangles, neighbours in a row as one.

        Each is a hair taller than a module: viewers leave light seams between boxes that only touch.
        """
        top = self.side - 1
        return " ".join(
            f"{start} {top - at} {wide} 1.03 re" for at, row in enumerate(self.rows) for start, wide in _dark_runs(row)
        )


def scan_code(text: str) -> ScanCode:
    """Return the QR code of a text, error correction M.

    Parameters
    ----------
    text
        One to 61 characters of the alphanumeric set: digits, capitals, space and ``$%*+-./:``.

    Raises
    ------
    PaperError
        If the text holds other characters or is too long.

    Examples
    --------
    >>> scan_code("J7-12.3.T").side
    21
    """
    if not text or not ALPHABET.issuperset(text):
        raise PaperError(f"a scan code holds digits, capitals and $%*+-./: only, not {text!r}")
    version = next((version for room, version in _VERSIONS if len(text) <= room), None)
    if version is None:
        raise PaperError(f"a scan code holds at most {_VERSIONS[-1][0]} characters: {text!r} has {len(text)}")
    length = len(text)
    bits = _bits("0" * length, version)
    for at in range(0, length, 2):
        bits ^= _change(text[at : at + 2], at, length, version)
    side = 17 + 4 * version
    modules = f"{bits:0{side * side}b}"
    return ScanCode(side=side, rows=tuple(modules[at : at + side] for at in range(0, side * side, side)))


@lru_cache(maxsize=200_000)
def _change(pair: str, at: int, length: int, version: int) -> int:
    zeros = "0" * length
    return _bits(zeros, version) ^ _bits(f"{zeros[:at]}{pair}{zeros[at + len(pair) :]}", version)


@lru_cache(maxsize=1_000)
def _bits(text: str, version: int) -> int:
    """Return a code as one number: rows from the top, dark modules 1."""
    code = segno.make_qr(text, version=version, error="m", mask=_MASK, mode="alphanumeric", boost_error=False)
    return int("".join("1" if module else "0" for row in code.matrix for module in row), 2)


@lru_cache(maxsize=100_000)
def _dark_runs(row: str) -> tuple[tuple[int, int], ...]:
    """Return start and width of each run of dark modules in a row."""
    return tuple((run.start(), run.end() - run.start()) for run in re.finditer("1+", row))
