"""Rows of the openings sheet to openings."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, fields
from typing import Any

from service.sheets.asked_sheets import OpeningsSheet
from service.sheets.cells import cell_text, column_letters
from service.sheets.label_counts import settle_count_in_label
from service.sheets.ledger import Ledger, Place
from service.sheets.row import Row
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
    """An opening before its label is settled: labels must differ within the whole job.

    ``usable`` is False where a cell is faulty or something needed is missing,
    ``read`` what stands in its size cells.
    """

    row: Row
    sheet: str
    values: dict[str, Any]
    label: str
    usable: bool
    read: str = ""


def opening_row(row: Row, found_in: OpeningsSheet, job_rules: Rules, ledger: Ledger) -> OpeningRow:
    """Return what a row says of its opening, usable or not; say what it lacks."""
    sheet = found_in.table.name
    values = row.values
    both = values.pop("datums", None)
    if both is not None:
        values.setdefault("width_datum", both)
        values.setdefault("height_datum", both)
    for name, said in found_in.said:
        values.setdefault(name, said)
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
    label = str(values.pop("label", ""))
    if label and not label.isalnum() and not settle_count_in_label(row, sheet, label, ledger):
        usable = False
    if not usable:
        read = sizes_as_written(row)
        return OpeningRow(row, sheet, values, label, usable=False, read=read)
    values["diagonals"] = tuple(diagonals) if diagonals else None
    values["widths"], values["heights"] = tuple(values["widths"]), tuple(values["heights"])
    if str(values.get("profile", "")).casefold() in _CHOOSE:
        values["profile"] = None
    _take_rules(values, row, sheet, job_rules, ledger)
    if row.notes:
        values["note"] = "; ".join([text for text in (values.get("note", ""), *row.notes) if text])
    return OpeningRow(row, sheet, values, label, usable=True)


def sizes_as_written(row: Row) -> str:
    """Return what stands in the size cells of a row, for whoever measures again."""
    cells = row.raw
    texts = []
    for name in ("widths", "heights"):
        columns = row.cells.get(name) or [row.column(name)]
        texts.append(", ".join(cell_text(cells[column]) for column in columns if 0 <= column < len(cells)))
    return " x ".join(texts) if any(texts) else ""


def openings_of(rows: list[OpeningRow], ledger: Ledger) -> list[Opening]:
    """Return the openings of the usable rows."""
    openings: list[Opening] = []
    starts: dict[tuple[str, int], str] = {}
    for each in rows:
        if not each.usable:
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
            opening = Opening(label=each.label, source=f"{sheet}!{number}", cells=tuple(cells), **each.values)
            openings.append(opening)
        except RecordError as error:
            ledger.error(Place(sheet, row.number), str(error))
    return openings


def labelled(rows: list[OpeningRow], ledger: Ledger) -> None:
    """Give every row a label of its own; say where one was made up or completed, refuse what cannot be told apart."""
    unlabelled = [each for each in rows if not each.label]
    for each in unlabelled:
        each.label = _place_label(each)
    if unlabelled:
        first = unlabelled[0]
        many = f" and {len(unlabelled) - 1} more rows" if len(unlabelled) > 1 else ""
        message = f"no label here{many}; place and row number stand in for it"
        ledger.notice(Place(first.sheet, first.row.number, first.row.column("label")), message)
    counts = Counter(each.label for each in rows)
    if len(counts) == len(rows):
        return
    alike = [each for each in rows if counts[each.label] > 1]
    fuller: dict[str, list[str]] = defaultdict(list)
    for each in alike:
        fuller[each.label].append(_full_label(each, each.label))
    # Order and place help only where they tell all rows of one label apart, and from all other labels.
    told_apart = {
        short for short, full in fuller.items() if len(set(full)) == len(full) and not any(f in counts for f in full)
    }
    first_row: dict[str, OpeningRow] = {}
    for each in alike:
        short = each.label
        place = Place(each.sheet, each.row.number, each.row.column("label"))
        if short in told_apart:
            each.label = _full_label(each, short)
            if short not in first_row:
                message = (
                    f"label {short} is used {counts[short]} times; order and place are put before it, here {each.label}"
                )
                ledger.notice(place, message, short)
        elif short in first_row:
            before = first_row[short]
            message = (
                f"label {short} is used twice, first in {before.sheet} row {before.row.number}; "
                "give this row a label of its own, or delete it if it repeats the other"
            )
            ledger.error(place, message, short)
            each.usable = False
        first_row.setdefault(short, each)


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
