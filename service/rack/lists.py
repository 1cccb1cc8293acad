"""The rack as a list: pieces written out, and a list read back as new pieces or as measured lengths."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TypeVar

from service.documents.amounts import exact_length
from service.documents.plain_text import csv_plain
from service.errors import RefusedError, SheetError
from service.leftovers.records import NewPiece, PieceState, RackPiece
from service.sheets.findings import Finding, Verdict
from service.sheets.leftover_list import LeftoverRow, write_leftovers
from solver.errors import RecordError
from solver.lengths import Ticks, Unit


def write_rack(path: Path, pieces: Sequence[RackPiece], now: float, unit: Unit) -> None:
    """Write pieces as a list that a job's sheet of leftovers can take; the name of a piece is its id."""
    write_leftovers(path, [_line(piece, now, unit) for piece in pieces])


def _line(piece: RackPiece, now: float, unit: Unit) -> dict[str, str | int]:
    # Two clean ends are rare; the sheet of leftovers knows one, which wastes an end trim at most.
    return {
        "name": piece.id,
        "profile": csv_plain(piece.profile),
        "colour": csv_plain(piece.colour),
        "mesh": csv_plain(piece.mesh),
        "width": exact_length(piece.width, unit) if piece.mesh else "",
        "length": exact_length(piece.length, unit),
        "count": 1,
        "note": csv_plain(piece.source),
        "state": piece.state.value,
        "days": days_old(piece, now),
        "place": csv_plain(piece.place),
        "job": csv_plain(piece.job),
    }


Found = TypeVar("Found")


def in_either_unit(read: Callable[[Unit], Found], unit: Unit | None) -> Found:
    """Return what a list says in a unit; without one only if it says the same in inches and in millimetres.

    Raises
    ------
    SheetError
        If bare numbers in the list need a unit.
    """
    if unit is not None:
        return read(unit)
    inch = read(Unit.INCH)
    try:
        alike = read(Unit.MM) == inch
    except RefusedError:
        alike = False
    if not alike:
        raise SheetError("lengths without a unit: inches or millimetres? say it, or write it into the heading")
    return inch


def days_old(piece: RackPiece, now: float) -> int:
    """Return a piece's age in whole days."""
    return max(0, int((now - piece.created) // 86_400))


def pieces_of(rows: Sequence[LeftoverRow], findings: Sequence[Finding]) -> list[NewPiece]:
    """Return rows of a shop's own list as new pieces; each of several alike is one piece.

    Raises
    ------
    RefusedError
        With every row that cannot be used.
    """
    faults = list(findings)
    pieces: list[NewPiece] = []
    for row in rows:
        try:
            if row.length is None:
                raise RecordError("its length is missing")
            piece = NewPiece(
                profile=row.profile,
                colour=row.colour,
                mesh=row.mesh,
                width=row.width if row.mesh else Ticks(0),
                length=row.length,
                place=row.name,
                source=row.note,
            )
        except RecordError as error:
            faults.append(Finding(sheet="leftovers", cell=str(row.row), verdict=Verdict.ERROR, message=str(error)))
            continue
        pieces += [piece] * row.count
    if faults:
        raise RefusedError(tuple(faults))
    return pieces


def lengths_of(
    rows: Sequence[LeftoverRow], findings: Sequence[Finding], expected: Iterable[RackPiece]
) -> dict[str, Ticks]:
    """Return the real lengths in a list of expected pieces; a count of 0 says a piece is not there.

    Raises
    ------
    RefusedError
        With every row that cannot be used or names no expected piece.
    """
    here = [piece for piece in expected if piece.state is PieceState.EXPECTED]
    waiting = {piece.id for piece in here} | {piece.label for piece in here if piece.label}
    faults = list(findings)
    lengths: dict[str, Ticks] = {}
    for row in rows:
        if row.name not in waiting and row.name.rpartition("-")[2] not in waiting:
            message = f"{row.name or 'no name'}: no such piece is expected; the name is the code on its label"
            faults.append(Finding(sheet="leftovers", cell=str(row.row), verdict=Verdict.ERROR, message=message))
        elif row.length is not None:
            lengths[row.name] = row.length if row.count else Ticks(0)
    if faults:
        raise RefusedError(tuple(faults))
    return lengths
