"""Numbers of pieces that stand in a label, such as A1 (x2) or 3 @ A2: asked about, never lost."""

from __future__ import annotations

import re

from service.sheets.ledger import Ledger, Place
from service.sheets.row import Row
from service.sheets.verdicts import Asked
from service.sheets.word_cells import read_count

_BEHIND = re.compile(
    r".*\S\s*[(\[]\s*(?:qty:?\s*|[x×*]\s*)?([0-9]{1,3})\s*(?:x|×|off|pcs?|pieces|no|nos|ea|each|stk|st|screens?|windows?)?\.?"
    r"\s*[)\]]|.*[^\W\d].*\s[x×*]([0-9]{1,2})",
    re.IGNORECASE,
)
_BEFORE = re.compile(
    r"([0-9]{1,3})\s*(?:@|[x×*]\s|off\b|pcs?\b|no\.|nos\b|ea\b|stk\b)\s*(?=.*[^\W\d])\S.*|([0-9]{1,2})[x×]\s?[A-Za-z].*",
    re.IGNORECASE,
)
_MARKED = re.compile(r"[(\[]\s*[0-9]+\s*[)\]]")

_LONGEST = 80


def count_in_label(label: str) -> int:
    """Return the number of pieces that a label speaks of, 1 if of none.

    Examples
    --------
    >>> [count_in_label(each) for each in ("A1 (x2)", "A1 (2 off)", "A1 x2", "3 @ A2", "2x A1", "A1", "30 x 40")]
    [2, 2, 2, 3, 2, 1, 1]
    """
    # A bare number in brackets may be anything, such as a floor.
    if len(label) > _LONGEST or _MARKED.search(label):
        return 1
    found = _BEHIND.fullmatch(label) or _BEFORE.fullmatch(label)
    return max(1, int(found[1] or found[2])) if found is not None else 1


def settle_count_in_label(row: Row, sheet: str, label: str, ledger: Ledger) -> bool:
    """Ask about a label that speaks of more pieces than the quantity does; return whether the row can be used."""
    said, quantity = count_in_label(label), row.values.get("quantity", 1)
    if said in {1, quantity}:
        return True
    in_cell = row.column("quantity") >= 0
    place = Place(sheet, row.number, row.column("quantity") if in_cell else -1)
    if in_cell and ledger.answer(place) is not None:
        return True
    planned = f"the quantity is {quantity}" if "quantity" in row.values else "no quantity is given"
    message = f"{label} may speak of {said} pieces, and {planned}; write {said} if so, or {quantity}"
    held = ledger.ask(place, Asked("quantity in the label", message, str(said)), read_count, label)
    if held is None:
        return False
    row.values["quantity"] = held.value
    return True
