"""Lengths said to the rack: with their unit, or as a tape reading; a bare number is asked about, never guessed."""

from __future__ import annotations

import re

from solver.errors import RecordError
from solver.lengths import Ticks, Unit
from solver.notation import Understood, read_length

_FRACTION = re.compile(r"[0-9]\s*[/⁄]\s*[0-9]|[¼½¾⅛⅜⅝⅞]")
_NOTHING = re.compile(r"0+(\.0+)?\s*(in|mm|cm|m|\"|″)?")


def rack_length(text: str, unit: Unit | None = None) -> Ticks:
    """Return a length as people write it; 0 for a piece that is not there.

    Parameters
    ----------
    text
        With its unit, or with the fraction of a tape, which proves inches.
    unit
        Of bare numbers, where somebody said it.

    Raises
    ------
    RecordError
        If it is no length, or nobody said its unit; the message says what to write.

    Examples
    --------
    >>> rack_length("60 1/2") == rack_length("60.5 in"), rack_length("0")
    (True, 0)
    """
    said = text.strip()
    if _NOTHING.fullmatch(said):
        return Ticks(0)
    inch, metric = (read_length(said, unit=each.value, alone=True) for each in (Unit.INCH, Unit.MM))
    result = metric if unit is Unit.MM and not _FRACTION.search(said) else inch
    if not isinstance(result, Understood):
        raise RecordError(f"{said or 'length'}: {getattr(result, 'message', 'this is no length')}")
    alike = isinstance(metric, Understood) and metric.length == result.length
    if unit is None and not alike and not _FRACTION.search(said):
        raise RecordError(f"{said}: inches or millimetres? write {said} in or {said} mm")
    return result.length
