"""The empty job workbook that people fill in: one example row on every sheet."""

from __future__ import annotations

from pathlib import Path

from service.sheets.columns import Kind
from service.sheets.job_workbook import Cell, JobSheet, JobWorkbook, write_job_workbook
from service.sheets.kit_columns import KITS, SUPPLIERS
from service.sheets.opening_columns import OPENINGS
from service.sheets.stock_columns import STOCK_KINDS

EXAMPLE = "example "
"""How the first cell of an example row begins; such rows are skipped and said."""

HOW_TO = (
    "How to fill in this workbook",
    "1. openings: one row for every opening (or one row for many alike, with their quantity). "
    "Only width and height are needed; everything else has a usual value or is asked for.",
    "2. Write sizes as you read them on the tape: 27 5/8, 27-5/8, 2' 3 5/8\", 27.625, 702 mm, 70.2 cm. "
    "The size columns are formatted as text, so that the program does not turn 5/16 into a date.",
    "3. Write what was measured: 'measured between' decides what is taken off. A size that already has everything "
    "taken off is a 'finished size'.",
    "4. rules: the unit of bare numbers, and every figure the shop works by. An empty value means the usual one.",
    "5. profiles, sticks, meshes, rolls, packs, splines: what can be bought and what lies on the rack. "
    "Leave a sheet empty and the usual sizes stand in, without prices; the plan says so.",
    "6. Prices: give them for all sticks of a profile and colour, or for none; the same for the rolls of a mesh. "
    "With prices the plan is the cheapest to buy, without them it uses the least material.",
    "7. leftovers: what is left from earlier jobs; it is used first.",
    "8. kits: complete kits a shop sells, compared with loose sticks and packs. suppliers: delivery charged once.",
    "9. Rows that begin with 'example' are skipped: overwrite or delete them.",
    "10. Point at a heading to read what belongs below it. Columns may be moved, left out, headed in your own words.",
    "An insect screen does not stop a child from falling. Openings that serve as an emergency escape, lead paint and "
    "ladders are matters for the local authority and for licensed people; the plan flags them and decides nothing.",
)


def write_template(path: Path) -> None:
    """Write the job workbook to fill in.

    Parameters
    ----------
    path
        Where to; the file is made or replaced.
    """
    sheets = [JobSheet(kind=kind, entries=[_example(kind)]) for kind in (OPENINGS, *STOCK_KINDS, KITS, SUPPLIERS)]
    write_job_workbook(path, JobWorkbook(how_to=HOW_TO, sheets=sheets, job={"unit": "in"}))


def _example(kind: Kind) -> dict[str, Cell]:
    entry: dict[str, Cell] = {column.word: column.example for column in kind.columns if column.example != ""}
    first = kind.columns[0].word
    entry[first] = f"{EXAMPLE}{entry.get(first, '')}".strip()
    return entry
