"""Rows of the openings sheet to openings."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

from service.sheets.cells import column_letters
from service.sheets.ledger import Ledger, Place
from service.sheets.rows import Row
from service.sheets.rules_sheet import checked_rules
from solver.errors import RecordError
from solver.openings import Opening
from solver.rules import Rules

_CHOOSE = {"", "choose", "any", "auto", "by slot"}
_RULES = frozenset(rule.name for rule in fields(Rules))
_LOCATED = ("widths", "heights", "diagonals", "slot_width", "channel_depth", "profile", "colour", "mesh", "quantity",
            "sill_height", "drop_outside", "mounting", "deepest_side", "width_datum", "height_datum")  # fmt: skip
"""Fields whose cells are kept, because something may be found about them later."""
_PLACES = ("building", "floor", "unit", "room")


@dataclass(slots=True)
class OpeningRow:
    """An opening before its label is settled: labels must differ within the whole job."""

    row: Row
    sheet: str
    values: dict[str, Any]
    label: str


def opening_row(row: Row, sheet: str, job_rules: Rules, ledger: Ledger) -> OpeningRow | None:
    """Return what a row says of its opening, or None if something it needs is missing."""
    values = dict(row.values)
    values.pop("unit_of_measure", None)
    usable = row.whole
    for name, word in (("widths", "width"), ("heights", "height")):
        if name not in values and name not in row.columns:
            missing = Place(sheet, row.number, row.column(name))
            ledger.error(missing, f"the {word} is missing; write the {word}, or delete the row")
            usable = False
    quantity = values.get("quantity", 1)
    if quantity == 0:
        ledger.error(
            Place(sheet, row.number, row.columns["quantity"]), "quantity 0; write 1 or more, or delete the row"
        )
        usable = False
    diagonals = values.pop("diagonals", [])
    if len(diagonals) == 1 or len(diagonals) > 2:
        column = row.columns["diagonals"]
        ledger.error(Place(sheet, row.number, column), f"{len(diagonals)} diagonals; write both, or none")
        usable = False
    if not usable:
        return None
    values["diagonals"] = tuple(diagonals) if diagonals else None
    values["widths"], values["heights"] = tuple(values["widths"]), tuple(values["heights"])
    both = values.pop("datums", None)
    if both is not None:
        values.setdefault("width_datum", both)
        values.setdefault("height_datum", both)
    if str(values.get("profile", "")).casefold() in _CHOOSE:
        values["profile"] = None
    _take_rules(values, row, sheet, job_rules, ledger)
    if row.notes:
        values["note"] = "; ".join([text for text in (values.get("note", ""), *row.notes) if text])
    return OpeningRow(row, sheet, values, str(values.pop("label", "")))


def openings_of(rows: list[OpeningRow], ledger: Ledger) -> list[Opening]:
    """Return the openings under labels that differ; say where a label was made up or completed."""
    labels = _labels(rows, ledger)
    openings: list[Opening] = []
    starts: dict[tuple[str, int], str] = {}
    for each, label in zip(rows, labels, strict=True):
        if not label:
            continue
        row, sheet = each.row, each.sheet
        number = str(row.number)
        cells: list[tuple[str, str]] = []
        for name in _LOCATED:
            column = row.columns.get(name)
            if column is not None:
                start = starts.get((sheet, column))
                if start is None:
                    start = starts[sheet, column] = f"{sheet}!{column_letters(column)}"
                cells.append((name, start + number))
        try:
            opening = Opening(label=label, source=f"{sheet}!{number}", cells=tuple(cells), **each.values)
            openings.append(opening)
        except RecordError as error:
            ledger.error(Place(sheet, row.number), str(error))
    return openings


def _labels(rows: list[OpeningRow], ledger: Ledger) -> list[str]:
    """Return a label for each row, no two alike; an empty one where two rows cannot be told apart."""
    whole = [each.label or _place_label(each) for each in rows]
    unlabelled = [each for each in rows if not each.label]
    if unlabelled:
        first = unlabelled[0]
        many = f" and {len(unlabelled) - 1} more rows" if len(unlabelled) > 1 else ""
        ledger.notice(
            Place(first.sheet, first.row.number),
            f"no label here{many}; place and row number stand in for it",
        )
    counts: dict[str, int] = {}
    for label in whole:
        counts[label] = counts.get(label, 0) + 1
    if all(count == 1 for count in counts.values()):
        return whole
    completed = [
        label if counts[label] == 1 else _full_label(each, label) for each, label in zip(rows, whole, strict=True)
    ]
    # Order and place help only where they tell all rows of one label apart.
    fuller: dict[str, set[str]] = {}
    for short, full in zip(whole, completed, strict=True):
        fuller.setdefault(short, set()).add(full)
    told_apart = {short for short, full in fuller.items() if counts[short] > 1 and len(full) == counts[short]}
    said: set[str] = set()
    first_row: dict[str, OpeningRow] = {}
    settled: list[str] = []
    for each, full, short in zip(rows, completed, whole, strict=True):
        label = full if short in told_apart else short
        place = Place(each.sheet, each.row.number, each.row.column("label"))
        before = first_row.get(label)
        if before is not None:
            message = (
                f"label {label} is used twice, first in {before.sheet} row {before.row.number}; "
                "give this row a label of its own, or delete it if it repeats the other"
            )
            ledger.error(place, message, short)
            settled.append("")
            continue
        if short in told_apart and short not in said:
            said.add(short)
            message = f"label {short} is used {counts[short]} times; order and place are put before it, here {label}"
            ledger.notice(place, message, short)
        first_row[label] = each
        settled.append(label)
    return settled


def _place_label(each: OpeningRow) -> str:
    place = "-".join(each.values[name] for name in (*_PLACES, "window_type") if each.values.get(name))
    return f"{place}-{each.row.number}" if place else f"row {each.row.number}"


def _full_label(each: OpeningRow, label: str) -> str:
    """Return a label with order and place before it, each unless the label starts with it already."""
    parts = [each.values.get(name, "") for name in ("order", "phase", *_PLACES)]
    return "-".join([*(part for part in parts if part and not label.startswith(part)), label])


def _take_rules(values: dict[str, Any], row: Row, sheet: str, job_rules: Rules, ledger: Ledger) -> None:
    """Move the row's own rules into a set of rules that holds for this opening alone."""
    if _RULES.isdisjoint(values):
        return
    own = {name: values.pop(name) for name in list(values) if name in _RULES}
    where = {name: Place(sheet, row.number, row.columns[name]) for name in own}
    rules = checked_rules(job_rules, own, where, ledger)
    if rules != job_rules:
        values["rules"] = rules
