"""What a heading says its sizes were measured between: finished width, old screen height, width (stops)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from service.sheets.cells import Table, Value, cell_text
from service.sheets.headings import Bound, Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.opening_columns import DATUMS
from service.sheets.verdicts import Asked, CellVerdict, Held
from service.sheets.word_cells import plain_words
from solver.notation.tidy import tidy
from solver.openings import Datum

_BRACKET = re.compile(r"[(\[{]([^)\]}]*)[)\]}]?")
_SIDES = {"widths": "width_datum", "heights": "height_datum"}
_STATED = {"finished": Datum.FINISHED, "final": Datum.FINISHED, "old screen": Datum.OLD_SCREEN,
           "existing screen": Datum.OLD_SCREEN, "channel": Datum.CHANNEL_BOTTOMS}  # fmt: skip
_LIKELY = {"frame": Datum.FINISHED, "screen": Datum.FINISHED, "screen frame": Datum.FINISHED}
_TOO_SMALL = ("glass", "sash", "pane", "daylight", "visible glass")


@dataclass(frozen=True, slots=True)
class SaidDatum:
    """The datum a heading states for one side of every row."""

    field: str
    datum: Datum


def heading_datums(table: Table, heading: Heading, ledger: Ledger) -> tuple[SaidDatum, ...]:
    """Return what the headings of width and height say they were measured between; ask where it is unsure.

    A frame may be the finished screen or the window's own, and glass or a sash
    is smaller than the channel a screen goes into.
    """
    found: list[SaidDatum] = []
    for bound in heading.columns:
        side = _SIDES.get(bound.column.field)
        if side is None:
            continue
        datum = _datum_of(table, heading.row, bound, ledger)
        if datum is not None:
            found.append(SaidDatum(side, datum))
    return tuple(found)


def _datum_of(table: Table, row: int, bound: Bound, ledger: Ledger) -> Datum | None:
    bracketed = _in_brackets(bound.heading)
    if bracketed is not None:
        return bracketed
    qualifier = bound.qualifier
    if qualifier in _STATED:
        return _STATED[qualifier]
    if qualifier not in _LIKELY and qualifier not in _TOO_SMALL:
        return None
    word = bound.column.word
    unit = f", {bound.unit}" if bound.unit else ""
    place = Place(table.name, row, bound.index)
    if qualifier in _TOO_SMALL:
        proposal = ""
        message = (
            f"{bound.heading}: glass and sash are smaller than the channel a screen goes into; measure the channel, "
            f"or head the column {word} (channel bottoms{unit}) if these are its sizes"
        )
    else:
        proposal = f"{word} ({_LIKELY[qualifier].value}{unit})"
        message = (
            f"{bound.heading}: the finished screen, with everything taken off already, or the opening? "
            f"Write {proposal} for the screen, or {word} ({Datum.CHANNEL_BOTTOMS.value}{unit}) for the opening"
        )

    def read(value: Value) -> CellVerdict:
        datum = _in_brackets(cell_text(value))
        return Held(datum) if datum is not None else Asked("datum", message, proposal)

    held = ledger.settle(place, bound.heading, read)
    return held.value if held is not None else None


def _in_brackets(heading: str) -> Datum | None:
    for bracket in _BRACKET.finditer(tidy(heading)):
        for part in (bracket[1], *bracket[1].split(",")):
            datum = DATUMS.words.get(plain_words(part))
            if datum is not None:
                return datum  # type: ignore[no-any-return]
    return None
