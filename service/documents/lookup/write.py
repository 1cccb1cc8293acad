"""Writes a plan into a lookup file, row by row: memory does not grow with the plan."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from itertools import chain, count
from pathlib import Path

from service.documents.alike import runs_of_alike_crosscuts, runs_of_alike_sticks
from service.documents.amounts import need_text
from service.documents.cut_marks import blank_marks, crosscut_marks, strip_marks
from service.documents.frame_text import place_of
from service.documents.leftovers import kept_mesh, kept_offcuts
from service.documents.lookup.records import (
    BlankSpot,
    CrosscutRun,
    Leftover,
    OpeningRow,
    OpeningSizes,
    ParkedRow,
    StickRun,
    Summary,
)
from service.documents.lookup.summing import numbered_notices, summary
from service.documents.lookup.tables import finish_tables, new_tables
from service.documents.plan_index import PlanIndex
from service.record_json import to_json
from solver.catalogue import Corner
from solver.lengths import Ticks
from solver.openings import Parked
from solver.plan import Crosscut, CutRoll, CutStick, Plan, Screen, StickGroup
from solver.problem import Problem

_NAMED_STICKS = 20


def write_lookup(problem: Problem, plan: Plan, path: Path) -> None:
    """Write a checked plan into a new lookup file.

    Parameters
    ----------
    problem
        What the plan was made for.
    plan
        A checked plan of that problem.
    path
        Where the file shall be; it must not exist.
    """
    index = PlanIndex(problem, plan)
    numbers = {screen.opening: number for number, screen in enumerate(plan.screens, start=1)}
    tables = new_tables(path)
    tables.execute("INSERT INTO summary VALUES (?)", (_text(Summary, summary(problem, plan)),))
    tables.executemany(
        "INSERT INTO openings VALUES (?, ?, ?, ?, ?, ?)",
        (_opening(number, screen, index) for number, screen in enumerate(plan.screens, start=1)),
    )
    tables.executemany("INSERT OR IGNORE INTO notice_openings VALUES (?, ?)", _notice_openings(plan, numbers))
    _write_sticks(tables, index, numbers)
    _write_crosscuts(tables, index, numbers)
    tables.executemany("INSERT INTO leftovers VALUES (NULL, ?)", ((_text(Leftover, row),) for row in _leftovers(plan)))
    tables.executemany(
        "INSERT INTO parked VALUES (NULL, ?)", ((_text(ParkedRow, _parked(row)),) for row in problem.parked)
    )
    finish_tables(tables)


def _parked(row: Parked) -> ParkedRow:
    places = (row.building, row.floor, row.unit, row.room)
    return ParkedRow(
        label=row.label,
        where=" · ".join(word for word in places if word),
        order=row.order,
        source=row.source,
        read=row.read,
        reasons=row.reasons,
    )


def _opening(number: int, screen: Screen, index: PlanIndex) -> tuple[object, ...]:
    opening = index.opening(screen.opening)
    profile = next((p for p in index.problem.catalogue.profiles if p.name == screen.profile), None)
    row = OpeningRow(
        number=number,
        label=screen.opening,
        quantity=screen.quantity,
        where=place_of(opening) if opening else "",
        order=opening.order if opening else "",
        phase=opening.phase if opening else "",
        frame_width=screen.frame_width,
        frame_height=screen.frame_height,
        profile=screen.profile,
        colour=screen.colour,
        mesh=screen.mesh,
    )
    sizes = OpeningSizes(
        row=row,
        note=opening.note if opening else "",
        width_readings=opening.widths if opening else (),
        height_readings=opening.heights if opening else (),
        mounting=opening.mounting.value if opening else "",
        deepest_side=opening.deepest_side.value if opening else "",
        escape=opening.escape if opening else False,
        face=profile.face if profile else Ticks(0),
        mitred=profile is not None and profile.corner is Corner.MITRED,
        rails=tuple((rail.place.value, rail.length) for rail in screen.rails),
        blank_width=screen.blank_width,
        blank_height=screen.blank_height,
        hardware=tuple(need_text(need, index.problem.unit) for need in screen.needs),
        arithmetic=screen.arithmetic,
    )
    words = (row.label, row.where, row.order, row.phase)
    search = " ".join(words).casefold()
    return number, row.label, row.quantity, search, _text(OpeningRow, row), _text(OpeningSizes, sizes)


def _notice_openings(plan: Plan, numbers: dict[str, int]) -> Iterator[tuple[int, int]]:
    for notice_number, notice in numbered_notices(plan):
        for label in notice.openings:
            if label in numbers:
                yield numbers[label], notice_number


def _write_sticks(tables: sqlite3.Connection, index: PlanIndex, numbers: dict[str, int]) -> None:
    run_numbers = count(1)
    for group_number, group in enumerate(index.plan.stick_groups):
        for sticks in runs_of_alike_sticks(group.sticks):
            run = _stick_run(next(run_numbers), group_number, group, sticks, index)
            tables.execute(
                "INSERT INTO stick_runs VALUES (?, ?, ?, ?)",
                (run.number, group_number, run.first, _text(StickRun, run)),
            )
            tables.executemany(
                "INSERT INTO rails VALUES (?, ?, ?, ?, ?, ?)",
                (
                    (run.number, stick.number, nth, numbers[rail.opening], rail.copy, rail.place.value)
                    for stick in sticks
                    for nth, rail in enumerate(stick.rails, start=1)
                ),
            )


def _stick_run(
    number: int, group_number: int, group: StickGroup, sticks: tuple[CutStick, ...], index: PlanIndex
) -> StickRun:
    stick = sticks[0]
    return StickRun(
        number=number,
        group=group_number,
        first=stick.number,
        count=len(sticks),
        stock=stick.stock,
        length=stick.length,
        start_trim=index.start_trim(stick.stock),
        kerf=group.joint_kerf,
        rails=tuple(rail.length for rail in stick.rails),
        offcut=stick.offcut,
        kept=stick.kept,
        bought=stick.bought,
        from_kit=stick.from_kit,
    )


def _write_crosscuts(tables: sqlite3.Connection, index: PlanIndex, numbers: dict[str, int]) -> None:
    run_numbers = count(1)
    group_numbers = count(len(index.plan.stick_groups))
    for group_number, group in zip(group_numbers, index.plan.roll_groups, strict=False):
        for roll in group.rolls:
            starts = {c.number: start for c, start, _ in crosscut_marks(roll, extra=index.problem.rules.crosscut_extra)}
            for crosscuts in runs_of_alike_crosscuts(roll.crosscuts):
                first = crosscuts[0]
                run = _crosscut_run(next(run_numbers), group_number, roll, crosscuts, starts[first.number], index)
                tables.execute(
                    "INSERT INTO crosscut_runs VALUES (?, ?, ?, ?, ?)",
                    (run.number, group_number, roll.number, run.first, _text(CrosscutRun, run)),
                )
                tables.executemany("INSERT INTO blanks VALUES (?, ?, ?, ?, ?)", _blanks(run.number, crosscuts, numbers))


def _crosscut_run(
    number: int,
    group_number: int,
    roll: CutRoll,
    crosscuts: tuple[Crosscut, ...],
    starts_at: Ticks,
    index: PlanIndex,
) -> CrosscutRun:
    first = crosscuts[0]
    strips = list(strip_marks(first, selvage=index.problem.rules.selvage_trim))
    return CrosscutRun(
        number=number,
        group=group_number,
        roll=roll.number,
        first=first.number,
        count=len(crosscuts),
        stock=roll.stock,
        roll_width=roll.width,
        starts_at=starts_at,
        length=first.length,
        bought=roll.bought,
        strips=tuple((start, strip.width) for strip, start, _ in strips),
        blanks=tuple(
            BlankSpot(from_side=side, from_start=start, across=blank.across, along=blank.along, turned=blank.turned)
            for strip, side, _ in strips
            for blank, start, _ in blank_marks(strip)
        ),
    )


def _blanks(run: int, crosscuts: tuple[Crosscut, ...], numbers: dict[str, int]) -> Iterator[tuple[int, ...]]:
    for crosscut in crosscuts:
        blanks = chain.from_iterable(strip.blanks for strip in crosscut.strips)
        for nth, blank in enumerate(blanks, start=1):
            yield run, crosscut.number, nth, numbers[blank.opening], blank.copy


def _leftovers(plan: Plan) -> Iterator[Leftover]:
    for kept in kept_offcuts(plan):
        what = " ".join(word for word in ("stick", kept.profile, kept.colour) if word)
        yield Leftover(
            what=what, width=Ticks(0), length=kept.length, count=len(kept.sticks), origin=_stick_numbers(kept.sticks)
        )
    for whole in kept_mesh(plan):
        mesh, piece = whole.mesh, whole.piece
        origin = f"roll {piece.roll}" if piece.crosscut is None else f"roll {piece.roll}, crosscut {piece.crosscut}"
        yield Leftover(what=f"mesh {mesh}".strip(), width=piece.width, length=piece.length, count=1, origin=origin)


def _stick_numbers(numbers: tuple[int, ...]) -> str:
    named = ", ".join(str(number) for number in numbers[:_NAMED_STICKS])
    more = len(numbers) - _NAMED_STICKS
    return f"stick {named}" + (f" and {more:,} more" if more > 0 else "")


def _text(kind: type[object], record: object) -> str:
    return to_json(kind, record).decode()
