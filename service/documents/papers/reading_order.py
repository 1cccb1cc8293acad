"""Text in the order its letters are drawn: right-to-left stretches turned round, Arabic letters joined.

A page is drawn from left to right, letter by letter. What people write from
right to left is turned round here, within lines that otherwise run left to
right. Vowel marks of such scripts are left out: they need a layout engine.

References
----------
Unicode Standard Annex 9, Bidirectional Algorithm, rules W1 to W7, N0 to N2, I1,
I2, L1, L2 and L4, for one paragraph without explicit formatting.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from service.documents.papers.joined_letters import joined

_RIGHT_TO_LEFT = re.compile("[\u0590-\u08ff\u200f\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff\U0001e800-\U0001efff]")
_FORMATTING = re.compile("[\u061c\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff]")
_MIRRORED = dict(
    zip("()[]{}<>\u00ab\u00bb\u2039\u203a\u2264\u2265", ")(][}{><\u00bb\u00ab\u203a\u2039\u2265\u2264", strict=True)
)
_BRACKETS = {"(": ")", "[": "]", "{": "}"}
_LEFT_TO_RIGHT_MARK = "\u200e"

_STRONG_LEFT, _STRONG_RIGHT = "L", "R"


@lru_cache(maxsize=20_000)
def as_drawn(text: str) -> str:
    r"""Return a text as its letters are drawn from left to right.

    Examples
    --------
    >>> as_drawn("3) \u05d7\u05dc\u05d5\u05df (2 of 3) top") == "3) \u05df\u05d5\u05dc\u05d7 (2 of 3) top"
    True
    >>> as_drawn("Ku\u0308che") == "K\u00fcche"
    True
    """
    if text.isascii():
        return text
    text = unicodedata.normalize("NFC", text)
    if not _RIGHT_TO_LEFT.search(text):
        return _FORMATTING.sub("", text)
    text = joined("".join(letter for letter in text if not _is_mark(letter)))
    levels = _levels(text)
    letters = [
        _MIRRORED.get(letter, letter) if level % 2 else letter for letter, level in zip(text, levels, strict=True)
    ]
    for level in range(max(levels, default=0), 0, -1):
        at = 0
        while at < len(letters):
            end = at
            while end < len(letters) and levels[end] >= level:
                end += 1
            letters[at:end] = letters[at:end][::-1]
            at = end + 1
    return _FORMATTING.sub("", "".join(letters))


def kept_apart(name: str) -> str:
    """Return a name so that a number behind it is not drawn as a part of it, before it.

    Examples
    --------
    >>> kept_apart("order 7")
    'order 7'
    """
    return name if name.isascii() else f"{name}{_LEFT_TO_RIGHT_MARK}"


def _is_mark(letter: str) -> bool:
    return unicodedata.category(letter) == "Mn" and bool(_RIGHT_TO_LEFT.match(letter))


def _levels(text: str) -> list[int]:
    """Return the embedding level of each letter in a paragraph that runs left to right."""
    kinds = _weak([unicodedata.bidirectional(letter) or "L" for letter in text])
    kinds = _neutral(text, kinds)
    levels = [{"R": 1, "EN": 2, "AN": 2}.get(kind, 0) for kind in kinds]
    for at in range(len(text) - 1, -1, -1):
        if unicodedata.bidirectional(text[at]) not in {"WS", "S", "B"}:
            break
        levels[at] = 0
    return levels


def _weak(kinds: list[str]) -> list[str]:
    """Apply rules W1 to W7: numbers and what stands at numbers."""
    before, strong = _STRONG_LEFT, _STRONG_LEFT
    kinds = list(kinds)
    for at, kind in enumerate(kinds):
        if kind == "NSM":
            kinds[at] = before
        if kinds[at] in {"L", "R", "AL"}:
            strong = kinds[at]
        if kinds[at] == "EN" and strong == "AL":
            kinds[at] = "AN"
        before = kinds[at]
    kinds = ["R" if kind == "AL" else kind for kind in kinds]
    for at in range(1, len(kinds) - 1):
        sides = kinds[at - 1], kinds[at + 1]
        if sides[0] == sides[1] and (
            (kinds[at] in {"ES", "CS"} and sides[0] == "EN") or (kinds[at] == "CS" and sides[0] == "AN")
        ):
            kinds[at] = sides[0]
    for at in _terminators(kinds):
        kinds[at] = "EN"
    kinds = ["ON" if kind in {"ES", "CS", "ET", "WS", "S", "B", "BN"} else kind for kind in kinds]
    strong = _STRONG_LEFT
    for at, kind in enumerate(kinds):
        if kind in {"L", "R"}:
            strong = kind
        elif kind == "EN" and strong == "L":
            kinds[at] = "L"
    return kinds


def _terminators(kinds: list[str]) -> list[int]:
    """Return the places of signs such as %, in a row that touches a number."""
    found: list[int] = []
    at = 0
    while at < len(kinds):
        end = at
        while end < len(kinds) and kinds[end] == "ET":
            end += 1
        if end > at and ((at and kinds[at - 1] == "EN") or (end < len(kinds) and kinds[end] == "EN")):
            found += range(at, end)
        at = end + 1
    return found


def _neutral(text: str, kinds: list[str]) -> list[str]:
    """Apply rules N0 to N2: brackets, then everything without a direction of its own."""
    kinds = list(kinds)
    for opening, closing in _bracket_pairs(text, kinds):
        inside = {_direction(kind) for kind in kinds[opening + 1 : closing]} - {""}
        if _STRONG_LEFT in inside:
            kinds[opening] = kinds[closing] = "L"
        elif inside:
            before = next((way for kind in reversed(kinds[:opening]) if (way := _direction(kind))), _STRONG_LEFT)
            kinds[opening] = kinds[closing] = before
    at = 0
    while at < len(kinds):
        end = at
        while end < len(kinds) and not _direction(kinds[end]):
            end += 1
        if end > at:
            before = _direction(kinds[at - 1]) if at else _STRONG_LEFT
            after = _direction(kinds[end]) if end < len(kinds) else _STRONG_LEFT
            kinds[at:end] = [before if before == after else _STRONG_LEFT] * (end - at)
        at = end + 1
    return kinds


def _direction(kind: str) -> str:
    return _STRONG_RIGHT if kind in {"R", "EN", "AN"} else _STRONG_LEFT if kind == "L" else ""


def _bracket_pairs(text: str, kinds: list[str]) -> list[tuple[int, int]]:
    pairs, waiting = [], []
    for at, letter in enumerate(text):
        if kinds[at] != "ON":
            continue
        if letter in _BRACKETS:
            waiting.append(at)
        elif letter in _BRACKETS.values():
            for depth in range(len(waiting) - 1, -1, -1):
                if _BRACKETS[text[waiting[depth]]] == letter:
                    pairs.append((waiting[depth], at))
                    del waiting[depth:]
                    break
    return sorted(pairs)
