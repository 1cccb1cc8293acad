"""The rules sheet: one row a rule, by name, and what holds for the whole job."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from itertools import islice
from typing import Any

from service.sheets.cells import Table, Value, cell_text
from service.sheets.columns import Column, Content, rule_columns
from service.sheets.headings import UNIT_WORDS
from service.sheets.ledger import Ledger, Place
from service.sheets.word_cells import ChoiceCells, plain_words
from solver.defaults import default_rules
from solver.errors import RecordError
from solver.lengths import Unit, length_text
from solver.notation import Comma
from solver.rules import RuleKind, Rules

NAMES = ("rules", "shop rules", "settings", "rule")
JOB_NAME, JOB_UNIT, JOB_CURRENCY = "job name", "unit", "currency"
UNITS = ChoiceCells({word: "in" if unit in {"in", "ft"} else "mm" for word, unit in UNIT_WORDS.items()}, ("in", "mm"))
_MOST_RULES = 500
_HEADS = {"rule", "value", "what it is", "name", "setting"}


@dataclass(slots=True)
class JobWords:
    """What the rules sheet says of the job as a whole; empty where it says nothing."""

    name: str = ""
    unit: str = ""
    currency: str = ""
    places: dict[str, Place] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class RuleCell:
    """One rule as it stands in a sheet or in the caller's settings."""

    name: str
    value: Value
    place: Place


def rule_cells(table: Table, ledger: Ledger) -> tuple[JobWords, list[RuleCell]]:
    """Return what a rules sheet says: the job's words and its rules, unread."""
    words = JobWords()
    rules: list[RuleCell] = []
    for number, values in islice(table.visible_rows(), _MOST_RULES):
        filled = [(index, value) for index, value in enumerate(values) if value is not None]
        if len(filled) < 2 or plain_words(cell_text(filled[0][1])) in _HEADS:
            continue
        name, (column, value) = plain_words(cell_text(filled[0][1])), filled[1]
        if column != filled[0][0] + 1:
            # The value's cell is empty and only the explanation stands beside it: the default holds.
            continue
        place = Place(table.name, number, column)
        answer = ledger.answer(place)
        value = answer if answer is not None else value
        if name in {JOB_NAME, "job", "name of the job"}:
            words.name = cell_text(value)[:120]
        elif name in {JOB_UNIT, "units", "unit of bare numbers"}:
            held = ledger.settle(place, value, UNITS)
            words.unit = held.value if held else ""
        elif name == JOB_CURRENCY:
            words.currency = cell_text(value)[:8]
        else:
            rules.append(RuleCell(name, value, place))
    return words, rules


def settings_rules(given: Mapping[str, str]) -> list[RuleCell]:
    """Return the rules among the caller's settings, as cells of a sheet called settings."""
    return [RuleCell(plain_words(name), value, Place(f"settings rule {name}")) for name, value in given.items()]


def rules_of(cells: Iterable[RuleCell], unit: Unit, ledger: Ledger, comma: Comma) -> Rules:
    """Return the shop's rules: defaults for the unit, replaced by what the cells say."""
    columns = {plain_words(column.word): column for column in rule_columns()}
    found: dict[str, Any] = {}
    where: dict[str, Place] = {}
    for cell in cells:
        column = columns.get(cell.name)
        if column is None:
            ledger.error(cell.place, _unknown(cell.name, columns))
            continue
        held = ledger.settle(cell.place, cell.value, column.reader(unit.value, comma))
        if held is not None:
            found[column.field] = held.value
            where[column.field] = cell.place
    return checked_rules(default_rules(unit), found, where, ledger)


def checked_rules(rules: Rules, found: Mapping[str, Any], where: Mapping[str, Place], ledger: Ledger) -> Rules:
    """Return rules with some replaced; a value that no shop can work by is an error in its own cell."""
    for name, value in found.items():
        try:
            rules = replace(rules, **{name: value})
        except (RecordError, ValueError) as error:
            ledger.error(where[name], str(error), str(value))
    return rules


def written_kind(column: Column) -> str:
    """Return how a rule's value is written, for the template."""
    return {
        Content.SMALL_LENGTH: "length",
        Content.COUNT: "whole number",
        Content.SHARE: RuleKind.PER_MILLE.value,
        Content.CHOICE: "one of: " + ", ".join(column.offered),
    }.get(column.content, "text")


def usual_value(column: Column, unit: Unit) -> str:
    """Return what a rule usually is, as it would stand in a cell."""
    value = getattr(default_rules(unit), column.field)
    if column.content is Content.SMALL_LENGTH:
        return length_text(value, unit)
    return str(value.value if isinstance(value, Enum) else value)


def _unknown(name: str, columns: Mapping[str, Column]) -> str:
    near = difflib.get_close_matches(name[:60], list(columns), n=1)
    if near:
        return f"there is no rule {name}; is {near[0]} meant?"
    return f"there is no rule {name}; the template's rules sheet lists all of them"
