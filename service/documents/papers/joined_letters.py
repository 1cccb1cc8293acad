"""Arabic letters as they are written joined, for a page that is drawn letter by letter.

References
----------
Unicode Standard, section 9.2, Arabic joining. The joined forms are taken from
the compatibility decompositions of Unicode's own character database.
"""

from __future__ import annotations

import unicodedata
from collections import defaultdict
from functools import cache

_JOINER, _TATWEEL = "\u200d", "\u0640"


def joined(text: str) -> str:
    r"""Return a text with each Arabic letter in the form its neighbours give it; all other letters stay.

    Examples
    --------
    >>> joined("\u0628\u0628 x") == "\ufe91\ufe90 x"
    True
    """
    forms = _forms()
    units: list[str] = []
    for letter in text:
        if units and units[-1] + letter in forms:
            units[-1] += letter
        else:
            units.append(letter)

    def reaches_on(unit: str) -> bool:
        return unit in (_TATWEEL, _JOINER) or "initial" in forms.get(unit, {})

    def is_reached(unit: str) -> bool:
        return unit in (_TATWEEL, _JOINER) or "final" in forms.get(unit, {})

    drawn = []
    for before, unit, after in zip(["", *units[:-1]], units, [*units[1:], ""], strict=True):
        from_before = reaches_on(before) and is_reached(unit)
        to_after = reaches_on(unit) and is_reached(after)
        kind = ("medial" if to_after else "final") if from_before else ("initial" if to_after else "isolated")
        drawn.append(forms.get(unit, {}).get(kind, unit))
    return "".join(drawn)


@cache
def _forms() -> dict[str, dict[str, str]]:
    """Return the joined forms of each Arabic letter, or pair of letters, by kind: isolated, final, initial, medial."""
    forms: dict[str, dict[str, str]] = defaultdict(dict)
    for code in (*range(0xFB50, 0xFC00), *range(0xFE80, 0xFEFD)):
        kind, *bases = unicodedata.decomposition(chr(code)).split() or [""]
        if kind and (len(bases) == 1 or code >= 0xFEF5):
            forms["".join(chr(int(base, 16)) for base in bases)].setdefault(kind.strip("<>"), chr(code))
    return forms
