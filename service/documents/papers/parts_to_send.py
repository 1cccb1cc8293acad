"""Single parts to send after a short shipment: what a bag lacked, order by order, and where it comes from."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from service.documents.amounts import amount_text
from service.documents.papers.faces import Face
from service.documents.papers.paging import Block, heading, job_frame, text_lines, write_pages
from service.documents.papers.setup import PaperSetup
from service.documents.papers.tables import Fill, PaperColumn, PaperTable
from service.documents.plan_index import PlanIndex
from solver.events import BlankMissing, Event, HardwareMissing, RailMissing
from solver.lengths import length_text
from solver.pieces import Place
from solver.revision.record import Revision

_SENT = (RailMissing, BlankMissing, HardwareMissing)


@dataclass(frozen=True, kw_only=True, slots=True)
class PartToSend:
    """One line: how much of what goes to which order, for which screen, and where it is taken from."""

    order: str
    count: str
    part: str
    made_of: str
    screen: str
    taken_from: str


def parts_to_send(revision: Revision) -> list[PartToSend]:
    """Return what a revision's events say is to be sent, in the order of the events."""
    index = PlanIndex(revision.problem, revision.plan)
    sent = Counter(event for event in revision.events if isinstance(event, _SENT))
    cut_from = _where_cut(revision)
    return [_line(event, count, index, cut_from) for event, count in sent.items()]


def _where_cut(revision: Revision) -> dict[tuple[str, int, Place | None], str]:
    where: dict[tuple[str, int, Place | None], str] = {}
    for group in revision.plan.stick_groups:
        for stick in group.sticks:
            for rail in stick.rails:
                where[rail.opening, rail.copy, rail.place] = f"cut again: stick {stick.number}"
    for mesh_group in revision.plan.roll_groups:
        for roll in mesh_group.rolls:
            for cut in roll.crosscuts:
                for blank in (blank for strip in cut.strips for blank in strip.blanks):
                    words = f"cut again: roll {roll.number}, crosscut {cut.number}"
                    where[blank.opening, blank.copy, None] = words
    return where


def _line(event: Event, count: int, index: PlanIndex, cut_from: dict[tuple[str, int, Place | None], str]) -> PartToSend:
    assert isinstance(event, _SENT)  # noqa: S101 - chosen by the caller
    unit = index.problem.unit
    screen = next(screen for screen in index.plan.screens if screen.opening == event.opening)
    opening = index.opening(event.opening)
    order = opening.order if opening else ""
    if isinstance(event, HardwareMissing):
        fits = next((need.fits for need in screen.needs if need.hardware is event.hardware), "")
        bought = any(line.buy and line.what.startswith(event.hardware.value) for line in index.plan.purchases)
        return PartToSend(
            order=order,
            count=amount_text(event.amount * count, unit, by_length=event.hardware.by_length),
            part=event.hardware.value,
            made_of=fits,
            screen=event.opening,
            taken_from="buy: see the purchase list" if bought else "from what is spare",
        )
    place = event.place if isinstance(event, RailMissing) else None
    if place is None:
        part = f"mesh {length_text(screen.blank_width, unit)} x {length_text(screen.blank_height, unit)}"
    else:
        length = next(rail.length for rail in screen.rails if rail.place is place)
        part = f"{place.value} rail {length_text(length, unit)} {unit.value}"
    return PartToSend(
        order=order,
        count=str(count),
        part=part,
        made_of=screen.mesh if place is None else f"{screen.profile} {screen.colour}".strip(),
        screen=index.label(event.opening, event.copy, place),
        taken_from=cut_from.get((event.opening, event.copy, place), "a piece of the same size that is cut already"),
    )


def write_parts_to_send(revision: Revision, path: Path, setup: PaperSetup) -> None:
    """Write a pick list of single parts, each order on pages of its own."""
    frame = job_frame(revision.problem, setup, "parts to send", setup.paper.upright)
    together: dict[str, list[PartToSend]] = defaultdict(list)
    for line in parts_to_send(revision):
        together[line.order].append(line)
    lists = (block for order, lines in together.items() for block in _list(order, lines, frame.width))
    write_pages(path, frame, lists)


def _list(order: str, lines: Sequence[PartToSend], width: float) -> Iterator[Block]:
    head = heading(f"order {order}" if order else "no order named", 17, above=0)
    count = f"{len(lines)} line{'s' * (len(lines) != 1)}: send these parts, nothing else."
    words = text_lines([count], 10)
    yield Block(words.height, words.draw, (head,), new_page=True)
    columns = (
        PaperColumn(heading="", share=4, fill=Fill.TICK),
        PaperColumn(heading="Count", share=11, fill=Fill.NUMBER, face=Face.BOLD, size=12),
        PaperColumn(heading="Part", share=25, face=Face.BOLD, size=11),
        PaperColumn(heading="Of", share=18),
        PaperColumn(heading="For", share=21),
        PaperColumn(heading="Take it from", share=21),
    )
    table = PaperTable(columns, width, (head,))
    for line in lines:
        yield table.row(("", line.count, line.part, line.made_of, line.screen, line.taken_from))
