"""In which unit a job's bare numbers are meant: said, shown by the sizes themselves, or asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.sheets.asked_sheets import OpeningsSheet
from service.sheets.cells import Value, cell_text
from service.sheets.headings import heading_parts
from service.sheets.ledger import Ledger, Place
from service.sheets.units import unit_evidence
from service.sheets.verdicts import Asked, CellVerdict, Held
from solver.lengths import Unit


@dataclass(frozen=True, slots=True)
class JobUnit:
    """The unit of the plan's texts and of bare numbers in stock lists, and that of bare sizes of openings."""

    shop: Unit
    bare: str
    shown_by: str = ""
    """How the unit was found where nobody stated it."""


def job_unit(sheets: Sequence[OpeningsSheet], stated: str, ledger: Ledger) -> JobUnit:
    """Return the unit of a job's bare numbers; ask if nothing shows it."""
    if stated:
        return JobUnit(Unit(stated), stated)
    sized = {"widths", "heights", "size", "diagonals"}
    headings = [
        bound.unit for sheet in sheets for bound in sheet.heading.columns if bound.unit and bound.column.field in sized
    ]
    if headings:
        return _unit(headings[0])
    for sheet in sheets:
        evidence = unit_evidence(sheet.table, sheet.heading)
        if not evidence.unit:
            continue
        bound = next(bound for bound in sheet.heading.columns if bound.column.field in {"widths", "size"})
        place = Place(sheet.table.name, sheet.heading.row, bound.index)
        if not evidence.sure or heading_parts(ledger.answer(place) or "")[1]:
            return _unit(_asked_unit(place, bound.heading, evidence.unit, ledger))
        words = {"in": "inches", "mm": "millimetres"}[evidence.unit]
        shown = f" in {evidence.cell}" if evidence.cell else ""
        message = f"no unit is given; bare numbers are read as {words}, as {evidence.why}{shown} shows"
        ledger.notice(place, message, bound.heading)
        return _unit(evidence.unit, f"unit: {message}")
    return _unit("in")


def _asked_unit(place: Place, heading: str, likely: str, ledger: Ledger) -> str:
    """Return the unit answered for a heading; until then the likely one, so that all cells are checked."""
    proposal = f"{heading} ({likely})"
    message = f"nobody says in which unit the sizes are; write it in the heading, such as {proposal}"

    def read(value: Value) -> CellVerdict:
        _, unit = heading_parts(cell_text(value))
        return Held(unit) if unit else Asked("unit of sizes", message, proposal)

    held = ledger.settle(place, heading, read)
    return str(held.value) if held is not None else likely


def _unit(bare: str, shown_by: str = "") -> JobUnit:
    return JobUnit(Unit.INCH if bare in {"in", "ft"} else Unit.MM, bare, shown_by)
