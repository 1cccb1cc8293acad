"""Written lengths to ticks: tape fractions, decimals, feet and inches, metric."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from solver.errors import LengthError
from solver.lengths import Ticks, ticks
from solver.notation.answers import Doubt, Doubtful, Refused, Result, Understood
from solver.notation.numbers import Comma, nearest_tape, plain_number, read_number, written
from solver.notation.tidy import SMALL_DIGITS, tidy

_NUMBER = r"[0-9.,]*[0-9]|[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?"
_METRIC_NUMBER = rf"{_NUMBER}|[0-9]{{1,3}}(?:'[0-9]{{3}})+(?:[.,][0-9]+)?"
_LONGEST_TEXT = 60
_INCH_WORD = r'(?:"|inches|inch|ins\b\.?|in\b\.?|zoll|pouces?|pulgadas?)'
_FEET_WORD = r"(?:'|feet|foot|ft\b\.?)"
_METRIC_WORDS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "zentimeter": "cm", "millimètres": "mm", "centimètres": "cm", "milímetros": "mm", "centímetros": "cm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
}  # fmt: skip
_METRIC = re.compile(rf"({_METRIC_NUMBER}) ?({'|'.join(sorted(_METRIC_WORDS, key=len, reverse=True))})\.?")
_DECIMAL = re.compile(rf"({_NUMBER}) ?({_INCH_WORD})?")
_FEET = re.compile(rf"({_NUMBER}) ?{_FEET_WORD}(?: ?-? ?(.+))?")
_TAPE = re.compile(rf"(?:([0-9]+)(?: and | ?& ?|-| ))?([0-9]+) ?/ ?([0-9]+)(?:ths?|nds?)?( ?{_INCH_WORD})?")
_LIKE_TAPE = re.compile(rf"([0-9]+) ?(?:[.,_+*]|- | -| \.|{_INCH_WORD}) ?([0-9]+) ?[/\\|] ?([0-9]+)( ?{_INCH_WORD})?")
_BACKSLASH = re.compile(rf"([0-9]+)[ -]([0-9]+) ?[\\|] ?([0-9]+)( ?{_INCH_WORD})?")
_UNSURE_BEFORE = re.compile(
    r"(?:~|ca\.?|c\.|circa|approximately|approx\.?|about|abt\.?|around|roughly|maybe|say|est\.?|etwa|ungefähr|environ|"
    r"env\.?|aprox\.?|unos|\+/-|±|[<>≤≥]=?) ?(.+)"
)
_OTHER_MEASURES = {
    "yd", "yds", "yard", "yards", "dm", "km", "µm", "um", "kg", "g", "lb", "lbs", "oz", "sq", "sf", "lf", "sqft", "sqm",
    "cl", "ml", "px", "pt", "deg", "pcs", "pc", "pieces", "stk", "stück", "off",
}  # fmt: skip
"""Words behind a number that say it is no length read here."""
_FRACTION_WORDS = re.compile(
    r"\b(?:half|halves|quarters?|thirds?|eighths?|sixteenths?|halb|viertel|demi|medio|media)\b"
)
_UNSURE_BEHIND = re.compile(r"(.+?) ?(?:\?+|\++|~|\+/-|±|approx\.?|ish)(?: ?\?)?")
_BRACKET_UNIT = re.compile(rf"(.+?) ?[(\[] ?({_INCH_WORD}|mm|cm|m) ?[)\]]")
_REMARK = re.compile(r"(.*[0-9/\"'].*?) ?[(\[]([^()\[\]]*)[)\]]?")
_WORDS_BEHIND = re.compile(r"([0-9][0-9 ./'\"-]*?(?: ?(?:mm|cm|m|in|ft|inch|inches)\b\.?)?)[ ,:;-]+([a-z][a-z .!-]*)")
_TWO_SIZES = re.compile(r"(.+?) ?(?: by |[x*@]) ?(.+)")
_LONE_FRACTION = re.compile(r"[0-9]+ ?/ ?[0-9]+")
_DAY_LIKE = re.compile(r"[0-9]+-[0-9]+")
_COARSE = (2, 4, 8, 16, 32, 64)
_ROUNDED = (3, 5, 6, 7, 9)
_HOW = {
    "in": "such as 27 5/8",
    "ft": "such as 2' 3 5/8\"",
    "mm": "such as 702",
    "cm": "such as 70.2",
    "m": "such as 0.702",
    "": "with its unit, such as 27 5/8 in or 702 mm",
}


def read_length(text: str, *, unit: str, comma: Comma = Comma.UNKNOWN, alone: bool = False) -> Result:
    r"""Return what a written length stands for: understood, doubtful with a proposal, or refused.

    Parameters
    ----------
    text
        The cell as written: ``27 5/8``, ``2' 3 5/8"``, ``702 mm``, ``27.625`` ...
    unit
        Unit of a number without one: mm, cm, m, in or ft; empty if nobody said.
    comma
        What a lone comma means where the text comes from.
    alone
        Whether a fraction below one inch may stand alone; no window is that small,
        so for sizes of openings it is refused.

    References
    ----------
    1 in = 25.4 mm: NIST SP 811. Which readings a tape shows: common practice, no source.

    Examples
    --------
    >>> read_length("2' 3 5/8\"", unit="mm") == read_length("27 5/8", unit="in")
    True
    >>> read_length("27 4/9", unit="in").proposal
    '27 7/16'
    """
    plain = tidy(text).lstrip("'").strip()
    if plain.startswith('"') and plain.endswith('"') and len(plain) > 2:
        plain = plain.strip('" ')
    shown = " ".join(text.split())
    if len(plain) > _LONGEST_TEXT:
        return Refused(message=f"{shown[:_LONGEST_TEXT]} ... is no length; write one {_HOW[unit]}")
    if not plain:
        return Refused(message=f"empty; write a length {_HOW[unit]}")
    if any(mark in SMALL_DIGITS for mark in plain):
        return Refused(message=f"{shown}: a raised or lowered digit, such as a footnote mark; write the reading alone")
    if any(mark.isnumeric() and not mark.isascii() for mark in plain):
        return Refused(message=f"{shown}: digits of another script; type the digits 0 to 9, {_HOW[unit]}")
    if bracket := _BRACKET_UNIT.fullmatch(plain):
        plain = f"{bracket[1]} {bracket[2]}"
    result = _bare(plain, unit, comma, alone)
    if result is None:
        result = _with_company(plain, unit, comma, alone)
    return result or Refused(message=f"{shown} is no length; write one {_HOW[unit]}")


def _bare(plain: str, unit: str, comma: Comma, alone: bool) -> Result | None:
    """Return what a length without remarks stands for, or None if it is not one."""
    if tape := _TAPE.fullmatch(plain):
        return _tape(plain, tape, unit, alone)
    if metric := _METRIC.fullmatch(plain):
        return _number(plain, metric[1], _METRIC_WORDS[metric[2]], unit, comma)
    if decimal := _DECIMAL.fullmatch(plain):
        if decimal[2] is None and not unit:
            return Refused(message=f"{plain}: nobody says in which unit; write it {_HOW['']}")
        return _number(plain, decimal[1], unit if decimal[2] is None else "in", unit, comma)
    if feet := _FEET.fullmatch(plain):
        return _feet(plain, feet[1], feet[2], unit, comma)
    if like := _LIKE_TAPE.fullmatch(plain) or _BACKSLASH.fullmatch(plain):
        return _proposed(Doubt.SPACE, plain, f"{like[1]} {like[2]}/{like[3]}", unit, alone)
    return None


def _with_company(plain: str, unit: str, comma: Comma, alone: bool) -> Result | None:
    """Return what a length with remarks, marks of doubt or a second length stands for."""
    if plain.startswith("-") or plain.endswith("-") or _DAY_LIKE.fullmatch(plain):
        return None
    if (remark := _REMARK.fullmatch(plain) or _WORDS_BEHIND.fullmatch(plain)) and not remark[2].startswith("x "):
        if remark[2].strip(" .") in _METRIC_WORDS:
            return _proposed(Doubt.UNIT, plain, f"{remark[1]} in", unit, alone) if _TAPE.fullmatch(remark[1]) else None
        inner = read_length(remark[1], unit=unit, comma=comma, alone=alone)
        note = remark[2].strip()
        if note.split(" ")[0].strip(" .") in _OTHER_MEASURES:
            return Refused(message=f"{plain}: {note} is no unit of length read here; write it {_HOW['']}")
        if _FRACTION_WORDS.search(note):
            return Refused(message=f"{plain}: part of the size stands in words; write it in figures, such as 27 1/2")
        if _LONE_FRACTION.fullmatch(note):
            whole = remark[1].strip(' "')
            return _proposed(Doubt.SPACE, plain, f"{whole} {note}", unit, alone)
        if isinstance(inner, Understood):
            message = f"{plain}: a remark stands beside the size; write {remark[1]} and keep the remark in the notes"
            return Doubtful(doubt=Doubt.REMARK, message=message, proposal=remark[1], note=note)
        if isinstance(inner, Doubtful):
            return Doubtful(doubt=inner.doubt, message=inner.message, proposal=inner.proposal, note=note)
        return None
    if unsure := _UNSURE_BEFORE.fullmatch(plain) or _UNSURE_BEHIND.fullmatch(plain):
        inner = read_length(unsure[1], unit=unit, comma=comma, alone=alone)
        if isinstance(inner, Refused):
            return None
        proposal = unsure[1] if isinstance(inner, Understood) else inner.proposal
        message = f"{plain}: the reading looks unsure; measure again, or write {proposal} if it is right"
        return Doubtful(doubt=Doubt.UNSURE, message=message, proposal=proposal)
    if sizes := _TWO_SIZES.fullmatch(plain):
        both = [_bare(size.strip(), unit, comma, alone) for size in sizes.groups()]
        if all(isinstance(one, Understood) for one in both):
            if isinstance(both[0], Understood) and both[0].length < ticks(5, "in") and not alone:
                return Refused(
                    message=f"{plain}: looks like a number of pieces and a size; write each in its own column"
                )
            message = f"{plain}: two sizes in one cell; write width and height in columns of their own"
            others = (sizes[2].strip(),)
            return Doubtful(doubt=Doubt.TWO_SIZES, message=message, proposal=sizes[1].strip(), others=others)
    return None


def _number(plain: str, token: str, unit: str, bare_unit: str, comma: Comma) -> Result | None:
    number = plain_number(token, comma)
    if number is None:
        return None
    if not number.sure:
        # Beside a unit that is not the column's own, the proposal keeps the unit.
        tail = "" if unit == bare_unit else f" {unit}"
        texts = tuple(f"{value}{tail}" for value in number.values)
        if unit == "mm" and len(texts) == 2:
            texts = texts[::-1]
        message = f"{plain}: the comma or point may mark decimals or thousands; write {' or '.join(texts)}"
        return Doubtful(doubt=Doubt.COMMA, message=message, proposal=texts[0], others=texts[1:])
    value = number.values[0]
    result = read_number(Decimal(value), unit=unit)
    if isinstance(result, Doubtful) and unit != bare_unit and result.proposal[-1:].isdigit():
        return Doubtful(doubt=result.doubt, message=result.message, proposal=f"{result.proposal} {unit}")
    return result


def _tape(plain: str, tape: re.Match[str], unit: str, alone: bool) -> Result:
    whole, numerator, denominator = int(tape[1] or 0), int(tape[2]), int(tape[3])
    mark = " in" if unit not in {"in", ""} else ""
    if denominator == 0:
        return Refused(message=f"{plain} divides by nothing; write 16ths, 32nds or 64ths, such as 27 5/8")
    if tape[1] is None and numerator >= denominator:
        return _run_together(plain, tape[2], tape[3], unit, alone)
    fraction = whole + Fraction(numerator, denominator)
    if fraction < 1 and not alone and denominator not in _COARSE:
        return Refused(
            message=f"{plain} is no tape reading; write one size, such as 27 5/8, the other side in its column"
        )
    if fraction < 1 and not alone:
        return Refused(message=f"{plain} is only a fraction of an inch; write the whole inches too, such as 27 {plain}")
    if numerator >= denominator:
        proposal = written(ticks(Fraction(round(fraction * 64), 64), "in"), "in") + mark
        message = f"{plain}: the fraction is a whole inch or more; write {proposal} if that is meant"
        return Doubtful(doubt=Doubt.IMPROPER, message=message, proposal=proposal)
    if denominator in _ROUNDED and (fraction * 64).denominator != 1:
        proposal = written(ticks(nearest_tape(fraction, Fraction(1, 16)), "in"), "in") + mark
        message = (
            f"{plain}: no tape shows {_ordinal(denominator)}; "
            f"a spreadsheet program may have rounded sixteenths; write {proposal} if that is meant"
        )
        return Doubtful(doubt=Doubt.TAPE, message=message, proposal=proposal)
    if unit not in {"in", ""} and tape[4] is None:
        message = f"{plain}: a tape fraction in a column of {unit}; write {plain} in if inches are meant"
        return Doubtful(doubt=Doubt.UNIT, message=message, proposal=f"{plain} in")
    try:
        return Understood(length=ticks(fraction, "in"))
    except LengthError:
        return Refused(message=f"{plain} is no tape reading; write 16ths, 32nds or 64ths")


def _run_together(plain: str, numerator: str, denominator: str, unit: str, alone: bool) -> Result:
    """Answer a fraction over one inch: ``275/8`` may be ``27 5/8`` without its space."""
    refused = Refused(message=f"{plain} is no tape reading; write whole inches and fraction, such as 27 5/8")
    if " /" in plain:
        return refused
    for cut in range(len(numerator) - 1, 0, -1):
        whole, upper = numerator[:cut], numerator[cut:]
        if int(upper) and int(upper) < int(denominator) and not upper.startswith("0") and int(denominator) in _COARSE:
            return _proposed(Doubt.SPACE, plain, f"{whole} {upper}/{denominator}", unit, alone) or refused
    return refused


def _proposed(doubt: Doubt, plain: str, proposal: str, unit: str, alone: bool) -> Result | None:
    """Ask for a text with its marks mended, if the mended text can be read."""
    inner = _bare(proposal, unit, Comma.UNKNOWN, alone)
    if isinstance(inner, Doubtful):
        proposal = inner.proposal
    elif not isinstance(inner, Understood):
        return None
    message = f"{plain} is not written as a tape reading; write {proposal} if that is meant"
    return Doubtful(doubt=doubt, message=message, proposal=proposal)


def _feet(plain: str, feet: str, rest: str | None, unit: str, comma: Comma) -> Result | None:
    whole = _number(plain, feet, "ft", unit, comma)
    if rest is None or not isinstance(whole, Understood):
        return whole
    below = None if _METRIC.fullmatch(rest) else _bare(rest, "in", comma, True)
    if below is None or isinstance(below, Refused):
        return None
    if isinstance(below, Understood) and whole.length >= ticks(10, "ft") and _LONE_FRACTION.fullmatch(rest):
        # Ten feet and a fraction without any inch mark: the foot mark may stand where the inch mark belongs.
        return _proposed(Doubt.SPACE, plain, f"{feet} {rest}", unit, alone=False)
    if isinstance(below, Doubtful):
        return Doubtful(doubt=below.doubt, message=below.message, proposal=f"{feet}' {below.proposal}")
    total = Ticks(whole.length + below.length)
    if below.length >= ticks(12, "in"):
        proposal = written(total, "in") + ("" if unit == "in" else " in")
        message = f"{plain}: a foot or more behind the feet; write {proposal} if that is meant"
        return Doubtful(doubt=Doubt.IMPROPER, message=message, proposal=proposal)
    return Understood(length=total)


def _ordinal(denominator: int) -> str:
    return {3: "thirds", 5: "fifths", 6: "sixths", 7: "sevenths", 9: "ninths"}[denominator]
