"""Looks a plan up in its lookup file: a page of a list, one drawing, one opening, the place of a piece."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Any, TypeVar

from service.documents.lookup.records import (
    CrosscutRun,
    CutPiece,
    Leftover,
    NoticeRow,
    OpeningRow,
    OpeningSizes,
    ParkedRow,
    Shown,
    StickRun,
    Summary,
)
from service.documents.lookup.tables import read_tables
from service.documents.pieces import MESH, piece_label
from service.record_json import from_json
from solver.plan import Place

Record = TypeVar("Record")

OPENINGS_A_PAGE = 100
DRAWINGS_A_PAGE = 50
PIECES_A_PAGE = 400

_PIECE = re.compile(
    rf"(?P<label>.+?)(?: \((?P<copy>\d+) of \d+\))? (?P<place>{'|'.join([*(p.value for p in Place), MESH])})",
    re.IGNORECASE,
)
_PLACES = {place.value: place for place in Place}
_CUT_RAIL = """SELECT o.label, o.quantity, r.copy, r.place, o.number, s.grp, r.run, 0, r.cut, r.nth
    FROM rails r JOIN openings o ON o.number = r.opening JOIN stick_runs s ON s.number = r.run"""
_CUT_BLANK = """SELECT o.label, o.quantity, b.copy, '', o.number, c.grp, b.run, c.roll, b.cut, b.nth
    FROM blanks b JOIN openings o ON o.number = b.opening JOIN crosscut_runs c ON c.number = b.run"""


class PlanLookup:
    """A plan, looked up piece by piece. One for each request; close it when done."""

    def __init__(self, path: Path) -> None:
        self._tables: sqlite3.Connection = read_tables(path)

    def close(self) -> None:
        """Let go of the file."""
        self._tables.close()

    def summary(self) -> Summary:
        """Return the plan at a glance."""
        (text,) = self._tables.execute("SELECT text FROM summary").fetchone()
        found: Summary = from_json(Summary, text)
        return found

    def openings(self, wanted: str = "", page: int = 1) -> Shown[OpeningRow]:
        """Return openings whose label, place, order and phase hold every word wanted."""
        condition, words = _matching(wanted)
        return self._page(OpeningRow, "row", f"openings WHERE {condition}", words, page, OPENINGS_A_PAGE)

    def matching(self, numbers: Collection[int], wanted: str) -> set[int]:
        """Return those of some openings whose label, place, order and phase hold every word wanted."""
        condition, words = _matching(wanted)
        marks = ", ".join("?" for _ in numbers)
        query = f"SELECT number FROM openings WHERE number IN ({marks}) AND {condition}"  # noqa: S608
        return {number for (number,) in self._tables.execute(query, (*numbers, *words))}

    def opening(self, number: int) -> OpeningSizes | None:
        """Return an opening's screen in full."""
        found = self._tables.execute("SELECT sizes FROM openings WHERE number = ?", (number,)).fetchone()
        return from_json(OpeningSizes, found[0]) if found else None

    def notices_of(self, number: int) -> tuple[NoticeRow, ...]:
        """Return what an opening is warned about."""
        found = self._tables.execute("SELECT notice FROM notice_openings WHERE opening = ?", (number,)).fetchall()
        wanted = {notice for (notice,) in found}
        return tuple(notice for notice in self.summary().notices if notice.number in wanted)

    def pieces_of(self, number: int, page: int = 1) -> Shown[CutPiece]:
        """Return where the rails and blanks of an opening are cut, copy by copy."""
        query = f"{_CUT_RAIL} WHERE r.opening = :o UNION ALL {_CUT_BLANK} WHERE b.opening = :o"
        (total,) = self._tables.execute(
            "SELECT (SELECT count(*) FROM rails WHERE opening = :o) + (SELECT count(*) FROM blanks WHERE opening = :o)",
            {"o": number},
        ).fetchone()
        return self._pieces(f"{query} ORDER BY 3, 8, 6, 9, 10", {"o": number}, total, page)

    def stick_runs(self, group: int, wanted: str = "", page: int = 1) -> Shown[StickRun]:
        """Return stick drawings in cutting order, those that hold a piece of an opening wanted."""
        condition, words = _runs_matching("rails", group, wanted)
        return self._page(StickRun, "run", f"stick_runs WHERE {condition}", words, page, DRAWINGS_A_PAGE)

    def crosscut_runs(self, group: int, wanted: str = "", page: int = 1) -> Shown[CrosscutRun]:
        """Return crosscut drawings in cutting order, those that hold a blank of an opening wanted."""
        condition, words = _runs_matching("blanks", group, wanted)
        return self._page(CrosscutRun, "run", f"crosscut_runs WHERE {condition}", words, page, DRAWINGS_A_PAGE)

    def stick_run(self, number: int) -> StickRun | None:
        """Return one stick drawing."""
        found = self._tables.execute("SELECT run FROM stick_runs WHERE number = ?", (number,)).fetchone()
        return from_json(StickRun, found[0]) if found else None

    def crosscut_run(self, number: int) -> CrosscutRun | None:
        """Return one crosscut drawing."""
        found = self._tables.execute("SELECT run FROM crosscut_runs WHERE number = ?", (number,)).fetchone()
        return from_json(CrosscutRun, found[0]) if found else None

    def page_of_stick(self, group: int, stick: int) -> tuple[int, int] | None:
        """Return which page of the drawings shows a stick, and the number of its drawing."""
        return self._page_of_cut("stick_runs", "rails", "grp = ? AND first <= ?", (group, stick), stick)

    def page_of_crosscut(self, group: int, roll: int, crosscut: int) -> tuple[int, int] | None:
        """Return which page of the drawings shows a crosscut, and the number of its drawing."""
        keys = (group, roll, crosscut)
        return self._page_of_cut("crosscut_runs", "blanks", "grp = ? AND roll = ? AND first <= ?", keys, crosscut)

    def rails_of(self, run: int, page: int = 1) -> Shown[CutPiece]:
        """Return the rails of a stick drawing, stick by stick."""
        (total,) = self._tables.execute("SELECT count(*) FROM rails WHERE run = ?", (run,)).fetchone()
        return self._pieces(f"{_CUT_RAIL} WHERE r.run = :run ORDER BY r.cut, r.nth", {"run": run}, total, page)

    def blanks_of(self, run: int, page: int = 1) -> Shown[CutPiece]:
        """Return the blanks of a crosscut drawing, crosscut by crosscut."""
        (total,) = self._tables.execute("SELECT count(*) FROM blanks WHERE run = ?", (run,)).fetchone()
        return self._pieces(f"{_CUT_BLANK} WHERE b.run = :run ORDER BY b.cut, b.nth", {"run": run}, total, page)

    def first_rails(self, runs: Sequence[StickRun]) -> dict[int, tuple[CutPiece, ...]]:
        """Return the rails of the first stick of each drawing."""
        firsts = [(run.number, run.first) for run in runs]
        return self._firsts(f"{_CUT_RAIL} WHERE r.run = ? AND r.cut = ? ORDER BY r.nth", firsts)

    def first_blanks(self, runs: Sequence[CrosscutRun]) -> dict[int, tuple[CutPiece, ...]]:
        """Return the blanks of the first crosscut of each drawing."""
        firsts = [(run.number, run.first) for run in runs]
        return self._firsts(f"{_CUT_BLANK} WHERE b.run = ? AND b.cut = ? ORDER BY b.nth", firsts)

    def piece(self, label: str) -> CutPiece | None:
        """Return where a piece is cut, by its label as printed, such as ``type C (3 of 12) top``."""
        read = _PIECE.fullmatch(" ".join(label.split()))
        if read is None:
            return None
        place, values = read["place"].lower(), {"label": read["label"], "copy": int(read["copy"] or 1)}
        query = _CUT_BLANK if place == MESH else f"{_CUT_RAIL} AND r.place = :place"
        copy = "b.copy" if place == MESH else "r.copy"
        values |= {"place": place} if place != MESH else {}
        sought = f"{query} WHERE o.label = :label COLLATE NOCASE AND {copy} = :copy LIMIT 1"
        found = self._tables.execute(sought, values).fetchone()
        return _piece(found) if found else None

    def leftovers(self, page: int = 1) -> Shown[Leftover]:
        """Return what goes back on the rack, sticks first."""
        return self._page(Leftover, "row", "leftovers WHERE true", (), page, PIECES_A_PAGE)

    def parked(self, page: int = 1) -> Shown[ParkedRow]:
        """Return the rows left out to be measured again, as a walking route."""
        return self._page(ParkedRow, "row", "parked WHERE true", (), page, OPENINGS_A_PAGE)

    def _page(
        self, kind: type[Record], column: str, source: str, values: Sequence[object], page: int, a_page: int
    ) -> Shown[Record]:
        (total,) = self._tables.execute(f"SELECT count(*) FROM {source}", values).fetchone()  # noqa: S608
        page, pages = _within(page, total, a_page)
        query = f"SELECT {column} FROM {source} ORDER BY number LIMIT ? OFFSET ?"  # noqa: S608
        found = self._tables.execute(query, (*values, a_page, (page - 1) * a_page))
        return Shown(rows=tuple(from_json(kind, text) for (text,) in found), page=page, pages=pages, total=total)

    def _pieces(self, query: str, values: dict[str, object], total: int, page: int) -> Shown[CutPiece]:
        page, pages = _within(page, total, PIECES_A_PAGE)
        paged = {**values, "most": PIECES_A_PAGE, "before": (page - 1) * PIECES_A_PAGE}
        found = self._tables.execute(f"{query} LIMIT :most OFFSET :before", paged)
        return Shown(rows=tuple(map(_piece, found)), page=page, pages=pages, total=total)

    def _firsts(self, query: str, firsts: Sequence[tuple[int, int]]) -> dict[int, tuple[CutPiece, ...]]:
        return {run: tuple(map(_piece, self._tables.execute(query, (run, cut)))) for run, cut in firsts}

    def _page_of_cut(
        self, runs: str, pieces: str, condition: str, keys: tuple[int, ...], cut: int
    ) -> tuple[int, int] | None:
        query = f"SELECT number, grp FROM {runs} WHERE {condition} ORDER BY first DESC LIMIT 1"  # noqa: S608
        found = self._tables.execute(query, keys).fetchone()
        if found is None:
            return None
        number, group = found
        there = f"SELECT 1 FROM {pieces} WHERE run = ? AND cut = ?"  # noqa: S608
        if self._tables.execute(there, (number, cut)).fetchone() is None:
            return None
        before = f"SELECT count(*) FROM {runs} WHERE grp = ? AND number < ?"  # noqa: S608
        (earlier,) = self._tables.execute(before, (group, number)).fetchone()
        return earlier // DRAWINGS_A_PAGE + 1, number


def _matching(wanted: str) -> tuple[str, tuple[object, ...]]:
    words = wanted.casefold().split()
    return " AND ".join(["true", *("instr(search, ?)" for _ in words)]), tuple(words)


def _runs_matching(pieces: str, group: int, wanted: str) -> tuple[str, tuple[object, ...]]:
    condition, words = _matching(wanted)
    if not words:
        return "grp = ?", (group,)
    openings = f"SELECT number FROM openings WHERE {condition}"  # noqa: S608
    return f"grp = ? AND number IN (SELECT run FROM {pieces} WHERE opening IN ({openings}))", (group, *words)  # noqa: S608


def _within(page: int, total: int, a_page: int) -> tuple[int, int]:
    pages = max(1, -(-total // a_page))
    return min(max(page, 1), pages), pages


def _piece(found: tuple[Any, ...]) -> CutPiece:
    label, quantity, copy, place, opening, group, run, roll, cut, nth = found
    return CutPiece(
        label=piece_label(label, copy, quantity, _PLACES.get(place)),
        opening=opening,
        group=group,
        run=run,
        roll=roll,
        cut=cut,
        nth=nth,
    )
