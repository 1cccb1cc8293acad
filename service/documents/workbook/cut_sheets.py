"""The sheets for the saw and for the cutting table, in cutting order."""

from __future__ import annotations

from service.documents.amounts import unit_length
from service.documents.cut_marks import crosscut_marks, rail_marks, strip_marks
from service.documents.plan_index import PlanIndex
from service.documents.workbook.table import Book, Column, Look, Table, Value, length_columns, length_values
from solver.plan import CutRoll, CutStick, StickGroup


def stick_cuts(book: Book, index: PlanIndex) -> None:
    """Write one row for each rail, sticks in cutting order, rails in saw order."""
    columns = (
        Column("Profile", 12),
        Column("Colour", 9),
        Column("Stick", 6, Look.NUMBER),
        Column("Stock", 22),
        Column("Cut", 5, Look.NUMBER),
        Column("Piece", 28),
        Column("Order", 10),
        *length_columns(book, "Rail"),
        *length_columns(book, "Mark at"),
        Column("After the last cut", 24),
    )
    table = Table(book, "stick cuts", columns, before=_saw_words(book, index))
    for group in index.plan.stick_groups:
        for stick in group.sticks:
            _stick(table, book, index, group, stick)


def _saw_words(book: Book, index: PlanIndex) -> tuple[str, ...]:
    trim = unit_length(index.problem.rules.end_trim, book.unit)
    return (
        f"Cut {trim} off the first end of a new stick, then saw behind each mark. "
        "'Mark at' is the end of the rail, measured from the stick's first end.",
    )


def _stick(table: Table, book: Book, index: PlanIndex, group: StickGroup, stick: CutStick) -> None:
    last = len(stick.rails)
    marks = rail_marks(stick, kerf=group.joint_kerf, start_trim=index.start_trim(stick.stock))
    for number, mark in enumerate(marks, start=1):
        opening = index.opening(mark.rail.opening)
        values: tuple[Value, ...] = (
            group.profile,
            group.colour,
            stick.number,
            stick.stock,
            number,
            index.rail_label(mark.rail),
            opening.order if opening else "",
            *length_values(book, mark.rail.length),
            *length_values(book, mark.end),
            _after(book, stick) if number == last else "",
        )
        table.row(values, ruled=number == 1)


def _after(book: Book, stick: CutStick) -> str:
    if not stick.offcut:
        return "nothing left"
    return f"{unit_length(stick.offcut, book.unit)} {'offcut, keep' if stick.kept else 'scrap'}"


def mesh_crosscuts(book: Book, index: PlanIndex) -> None:
    """Write one row for each mesh blank: crosscut the roll, rip the strips, trim the blanks."""
    columns = (
        Column("Mesh", 16),
        Column("Roll", 6, Look.NUMBER),
        Column("Stock", 20),
        Column("Crosscut", 9, Look.NUMBER),
        *length_columns(book, "Cut at"),
        Column("Strip", 6, Look.NUMBER),
        *length_columns(book, "Strip width"),
        Column("Piece", 28),
        *length_columns(book, "Along"),
        Column("Turned", 8),
    )
    selvage = unit_length(index.problem.rules.selvage_trim, book.unit)
    words = (
        f"Cut the roll across at each 'Cut at', trim {selvage} off the selvage, rip the strips, cut the blanks along. "
        "Turned: the screen's height lies across the roll.",
    )
    table = Table(book, "mesh crosscuts", columns, before=words)
    for group in index.plan.roll_groups:
        for roll in group.rolls:
            _roll(table, book, index, group.mesh, roll)


def _roll(table: Table, book: Book, index: PlanIndex, mesh: str, roll: CutRoll) -> None:
    rules = index.problem.rules
    for crosscut, _, end in crosscut_marks(roll, extra=rules.crosscut_extra):
        first = True
        for number, (strip, _, _) in enumerate(strip_marks(crosscut, selvage=rules.selvage_trim), start=1):
            for blank in strip.blanks:
                values: tuple[Value, ...] = (
                    mesh,
                    roll.number,
                    roll.stock,
                    crosscut.number,
                    *length_values(book, end),
                    number,
                    *length_values(book, strip.width),
                    index.blank_label(blank),
                    *length_values(book, blank.along),
                    "turned" if blank.turned else "",
                )
                table.row(values, ruled=first)
                first = False
