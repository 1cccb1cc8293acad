"""Pick lists: what goes together for one order, or for one floor, counted, with boxes to tick."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from service.documents.amounts import amount_text, shop_text
from service.documents.frame_text import place_of
from service.documents.papers.faces import Face
from service.documents.papers.paging import Block, heading, job_frame, text_lines, write_pages
from service.documents.papers.reading_order import kept_apart
from service.documents.papers.setup import PaperSetup
from service.documents.papers.tables import Fill, PaperColumn, PaperTable
from service.documents.plan_index import PlanIndex
from solver.catalogue import Hardware
from solver.lengths import Ticks, Unit
from solver.openings import Opening
from solver.plan import Place, Plan, Screen
from solver.problem import Problem

_TICK = PaperColumn(heading="", share=4, fill=Fill.TICK)
_COUNT = PaperColumn(heading="Count", share=12, fill=Fill.NUMBER, face=Face.BOLD, size=12)


def write_pick_lists(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write a pick list for each order, each on pages of its own.

    Without orders a job is picked floor by floor, or as a whole where no floor is named.
    """
    frame = job_frame(problem, setup, "pick list", setup.paper.upright)
    index = PlanIndex(problem, plan)
    together: dict[str, list[Screen]] = defaultdict(list)
    orders = any(opening.order for opening in problem.openings)
    for screen in plan.screens:
        together[_name(index.opening(screen.opening), orders=orders)].append(screen)
    lists = (block for name, screens in together.items() for block in _list(name, screens, index, frame.width))
    write_pages(path, frame, lists)


def _name(opening: Opening | None, *, orders: bool) -> str:
    """Return the name of the pick list an opening belongs to."""
    if opening is None:
        return "all screens"
    if orders:
        return f"order {opening.order}" if opening.order else "no order named"
    named = [("", opening.building), ("floor ", opening.floor)]
    return ", ".join(f"{word}{where}" for word, where in named if where) or "all screens"


def _list(name: str, screens: Sequence[Screen], index: PlanIndex, width: float) -> Iterator[Block]:
    count = sum(screen.quantity for screen in screens)
    head = heading(f"{kept_apart(name)}: {count} screen{'s' * (count != 1)}", 17, above=0)
    yield replace(text_lines([_longest(screens, index.problem.unit)], 10), heads=(head,), new_page=True)
    unit = index.problem.unit
    yield from _screens(screens, index, width, head)
    yield from _rails(screens, unit, width, head)
    yield from _blanks(screens, unit, width, head)
    yield from _hardware(screens, unit, width, head)


def _longest(screens: Sequence[Screen], unit: Unit) -> str:
    longest = max(rail.length for screen in screens for rail in screen.rails)
    return (
        f"Longest rail {shop_text(longest, unit)} {unit.value}: it decides the carton. Roll the mesh, do not fold it."
    )


def _screens(screens: Sequence[Screen], index: PlanIndex, width: float, head: Block) -> Iterator[Block]:
    columns = (
        _TICK,
        replace(_COUNT, heading="Screens"),
        PaperColumn(heading="Opening", share=26, face=Face.BOLD, size=11),
        PaperColumn(heading="Frame", share=24),
        PaperColumn(heading="Where", share=34),
    )
    table = PaperTable(columns, width, (head, heading("screens", 12)))
    unit = index.problem.unit
    for screen in screens:
        opening = index.opening(screen.opening)
        frame = f"{shop_text(screen.frame_width, unit)} x {shop_text(screen.frame_height, unit)}"
        yield table.row(("", str(screen.quantity), screen.opening, frame, place_of(opening) if opening else ""))


def _rails(screens: Sequence[Screen], unit: Unit, width: float, head: Block) -> Iterator[Block]:
    columns = (
        _TICK,
        _COUNT,
        PaperColumn(heading="Length", share=16, fill=Fill.NUMBER, face=Face.BOLD, size=12),
        PaperColumn(heading="Profile, colour", share=34),
        PaperColumn(heading="", share=34),
    )
    table = PaperTable(columns, width, (head, heading("rails", 12)))
    counts: Counter[tuple[str, Ticks, bool]] = Counter()
    for screen in screens:
        made_of = f"{screen.profile} {screen.colour}".strip()
        for rail in screen.rails:
            counts[made_of, rail.length, rail.place is Place.BAR] += screen.quantity
    for (made_of, length, bar), count in sorted(counts.items(), key=lambda item: (item[0][0], -item[0][1])):
        yield table.row(("", str(count), shop_text(length, unit), made_of, "cross bar" if bar else ""))


def _blanks(screens: Sequence[Screen], unit: Unit, width: float, head: Block) -> Iterator[Block]:
    columns = (
        _TICK,
        _COUNT,
        PaperColumn(heading="Width x height", share=30, face=Face.BOLD, size=12),
        PaperColumn(heading="Mesh", share=54),
    )
    table = PaperTable(columns, width, (head, heading("mesh", 12)))
    counts: Counter[tuple[str, Ticks, Ticks]] = Counter()
    for screen in screens:
        counts[screen.mesh, screen.blank_width, screen.blank_height] += screen.quantity
    for (mesh, wide, high), count in sorted(counts.items()):
        yield table.row(("", str(count), f"{shop_text(wide, unit)} x {shop_text(high, unit)}", mesh))


def _hardware(screens: Sequence[Screen], unit: Unit, width: float, head: Block) -> Iterator[Block]:
    columns = (_TICK, replace(_COUNT, share=16), PaperColumn(heading="What", share=80))
    table = PaperTable(columns, width, (head, heading("bag and spline", 12)))
    counts: Counter[tuple[Hardware, str]] = Counter()
    for screen in screens:
        for need in screen.needs:
            counts[need.hardware, need.fits] += need.amount * screen.quantity
    order = list(Hardware)
    for (hardware, fits), amount in sorted(counts.items(), key=lambda item: (order.index(item[0][0]), item[0][1])):
        text = amount_text(amount, unit, by_length=hardware.by_length)
        yield table.row(("", text, f"{hardware.value} {fits}".strip()))
