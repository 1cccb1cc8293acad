"""Long lines of text among the rows: remarks, or openings that nobody could measure."""

from __future__ import annotations

import re
from collections.abc import Mapping

from service.sheets.cells import Table, Value, cell_text
from service.sheets.headings import Heading
from service.sheets.ledger import Ledger, Place
from service.sheets.row import Row
from service.sheets.verdicts import Asked, CellVerdict, Held, Wrong

_OPENING = re.compile(
    r"\b(?:windows?|openings?|doors?|bed ?rooms?|kitchen|bath(?:room)?|living|hall|stair|porch|screens?|fenster|"
    r"fenêtre|ventana|no access|not accessible|locked|tenant|could not|couldn.t|not measured|unmeasured|to be measured|"
    r"measure (?:again|later)|tbd|tba|missing)\b",
    re.IGNORECASE,
)
"""Words that speak of an opening, or of why one was not measured."""
_LONG = 30


class LinesOfText:
    """Says which long lines may be openings without sizes, and asks about them."""

    def __init__(self, table: Table, heading: Heading) -> None:
        sized = {bound.index for bound in heading.columns if bound.column.field in {"widths", "heights", "size"}}
        self._first = min((bound.index for bound in heading.columns), default=0)
        self._merged = {
            (merge.first_row, merge.first_column)
            for merge in table.merges[:5_000]
            if merge.last_column > merge.first_column + 1
        }
        self._openings = bool(sized)
        self._last = next(
            (
                number
                for number, values in reversed(table.rows)
                if any(index < len(values) and values[index] is not None for index in sized)
            ),
            0,
        )

    def may_be_an_opening(self, number: int, text: str) -> bool:
        """Return whether a lone text is long and stands between openings, or below them and speaks of one.

        A text merged over several columns or one that ends with a colon is a title.
        """
        if not self._openings or len(text) <= _LONG or text.rstrip().endswith(":"):
            return False
        if (number, self._first) in self._merged:
            return False
        return number < self._last or bool(_OPENING.search(text))

    def settled(self, place: Place, text: str, ledger: Ledger) -> bool:
        """Ask about a line; return whether it is left out."""
        message = (
            f"{cell_text(text)[:60]}: a line of text without sizes; write skip if it is a remark, park if it is an "
            "opening that still has to be measured, or write its sizes into the row"
        )
        return ledger.ask(place, Asked("line of text", message, "skip"), _read_skip, text) is not None

    def unmeasured(self, number: int, values: list[Value], headed: Mapping[str, int]) -> Row:
        """Return the row of an opening without sizes, which can only be parked."""
        row = Row(number, headed=headed, raw=values)
        row.values["label"] = cell_text(next(value for value in values if value is not None))
        for name in ("widths", "heights"):
            row.refuse(name, row.column(name))
        return row


def _read_skip(value: Value) -> CellVerdict:
    word = cell_text(value).strip().casefold()
    return Held(word) if word in {"skip", "no", "remark"} else Wrong(f"{cell_text(value)}: write skip or park")
