"""Assembly sheets: one page for each opening's screens, with drawing, bag, sizes, steps and cautions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from service.documents.amounts import both_units, need_text, shop_text
from service.documents.frame_text import place_of
from service.documents.papers.assembly_steps import SHOP_CAUTIONS, assembly_steps
from service.documents.papers.faces import Face, fitted_size, wrapped
from service.documents.papers.frame_drawing import FramePicture, draw_frame
from service.documents.papers.paging import Block, job_frame, write_pages
from service.documents.papers.pen import Align, Pen
from service.documents.papers.setup import PaperSetup
from service.documents.plan_index import PlanIndex
from solver.catalogue import Profile
from solver.lengths import Ticks, Unit
from solver.openings import Opening
from solver.plan import Kind, Place, Plan, Screen
from solver.problem import Problem

_TITLE = 58.0
_PICTURE_TALLEST, _PICTURE_LEAST = 350.0, 230.0
_BELOW_PICTURE, _ABOVE_CAUTIONS = 18.0, 26.0
_TEXT = 9.5


def write_assembly_sheets(problem: Problem, plan: Plan, path: Path, setup: PaperSetup) -> None:
    """Write one page for each opening: what goes in the bag and how it becomes a screen.

    The drawing is seen from inside the room.
    """
    frame = job_frame(problem, setup, "assembly", setup.paper.upright)
    write_pages(path, frame, _pages(PlanIndex(problem, plan), frame.width, frame.height))


def _pages(index: PlanIndex, width: float, height: float) -> Iterator[Block]:
    own: dict[str, list[str]] = defaultdict(list)
    for notice in index.plan.notices:
        if notice.kind is Kind.CAUTION:
            for label in notice.openings:
                own[label].append(notice.message)
    profiles = {profile.name: profile for profile in index.problem.catalogue.profiles}
    for screen in index.plan.screens:
        cautions = list(dict.fromkeys((*SHOP_CAUTIONS, *own.get(screen.opening, ()))))
        page = _Page(
            screen=screen,
            opening=index.opening(screen.opening),
            profile=profiles.get(screen.profile),
            unit=index.problem.unit,
            width=width,
            height=height,
        )
        fitting = page.cautions_that_fit(cautions)
        yield Block(height, partial(page.draw, cautions[:fitting]), new_page=True)
        if fitting < len(cautions):
            yield Block(height, partial(page.draw_more, cautions[fitting:]), new_page=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Page:
    screen: Screen
    opening: Opening | None
    profile: Profile | None
    unit: Unit
    width: float
    height: float

    def cautions_that_fit(self, cautions: Sequence[str]) -> int:
        """Return how many cautions the page holds below a drawing of the least height."""
        room = self.height - _TITLE - _PICTURE_LEAST - _BELOW_PICTURE - self._steps_height() - _ABOVE_CAUTIONS
        for number, caution in enumerate(cautions):
            room -= self._caution_height(caution)
            if room < 0:
                return number
        return len(cautions)

    def draw(self, cautions: Sequence[str], pen: Pen, x: float, top: float) -> None:
        text = self._steps_height() + _ABOVE_CAUTIONS + sum(map(self._caution_height, cautions))
        tall = min(_PICTURE_TALLEST, self.height - _TITLE - _BELOW_PICTURE - text)
        self._title(pen, x, top)
        top -= _TITLE
        picture = FramePicture(
            screen=self.screen,
            opening=self.opening,
            profile=self.profile,
            unit=self.unit,
            left=x,
            top=top,
            width=self.width * 0.54,
            height=tall,
        )
        draw_frame(pen, picture)
        pen.text(x + self.width * 0.27, top - tall - 2, "seen from inside the room", 9, align=Align.CENTRE)
        self._bag(pen, x + self.width * 0.58, top, self.width * 0.42)
        y = self._steps(pen, x, top - tall - _BELOW_PICTURE)
        self._cautions(pen, x, y, cautions)

    def draw_more(self, cautions: Sequence[str], pen: Pen, x: float, top: float) -> None:
        """Draw the page of cautions that the first page had no room for."""
        self._title(pen, x, top)
        self._cautions(pen, x, top - _TITLE, cautions)

    def _title(self, pen: Pen, x: float, top: float) -> None:
        copies = f"make {self.screen.quantity}"
        pen.fitted(x, top - 24, self.screen.opening, 24, self.width * 0.72, face=Face.BOLD)
        pen.text(x + self.width, top - 24, copies, 24, face=Face.BOLD, align=Align.RIGHT)
        made_of = [self.screen.profile, self.screen.colour, self.screen.mesh]
        where = []
        if self.opening is not None:
            made_of.append(self.opening.mounting.value)
            where = [f"order {self.opening.order}" if self.opening.order else "", place_of(self.opening)]
        told = _said((*where, *made_of))
        if fitted_size(told, Face.PLAIN, 11, self.width) >= _TEXT:
            pen.fitted(x, top - 42, told, 11, self.width)
        else:
            pen.fitted(x, top - 38, _said(made_of), 9, self.width)
            pen.fitted(x, top - 49, _said(where), 9, self.width)

    def _bag(self, pen: Pen, x: float, top: float, width: float) -> None:
        pen.text(x, top - 14, "what belongs together", 13, face=Face.BOLD)
        y = top - 24
        for text, face, size in self._contents():
            lines = wrapped(text, face, size, width - 18)
            pen.tick_box(x, y - size - 1, 9)
            for line in lines:
                y -= size * 1.25
                pen.text(x + 16, y, line, size, face=face)
            y -= 4

    def _contents(self) -> Iterator[tuple[str, Face, float]]:
        """Yield what belongs together, cut pieces large."""
        alike: dict[tuple[Ticks, bool], list[str]] = defaultdict(list)
        for rail in self.screen.rails:
            alike[rail.length, rail.place is Place.BAR].append(rail.place.value)
        for (length, _), places in alike.items():
            named = " and ".join(dict.fromkeys(places))
            yield f"{len(places)} × {shop_text(length, self.unit)}  {named}", Face.BOLD, 12
        screen, unit = self.screen, self.unit
        mesh = f"mesh {shop_text(screen.blank_width, unit)} x {shop_text(screen.blank_height, unit)}"
        yield mesh, Face.BOLD, 12
        for need in screen.needs:
            yield need_text(need, unit), Face.PLAIN, 10
        yield f"frame {both_units(screen.frame_width, unit)} wide", Face.PLAIN, 10
        yield f"frame {both_units(screen.frame_height, unit)} high", Face.PLAIN, 10

    def _steps(self, pen: Pen, x: float, top: float) -> float:
        for number, step in enumerate(assembly_steps(self.screen, self.opening, self.unit), start=1):
            pen.tick_box(x, top - 10.5, 8)
            pen.text(x + 26, top - 10, f"{number}", 10, face=Face.BOLD, align=Align.RIGHT)
            top = _paragraph(pen, x + 32, top, step, self.width - 32)
        return top

    def _steps_height(self) -> float:
        steps = assembly_steps(self.screen, self.opening, self.unit)
        return sum(_paragraph_height(step, self.width - 32) for step in steps)

    def _cautions(self, pen: Pen, x: float, top: float, cautions: Sequence[str]) -> None:
        pen.text(x, top - 19, "Caution", 12, face=Face.BOLD)
        top -= _ABOVE_CAUTIONS
        for caution in cautions:
            pen.text(x, top - 9.5, "!", 11, face=Face.BOLD)
            top = _paragraph(pen, x + 12, top, caution, self.width - 12)

    def _caution_height(self, caution: str) -> float:
        return _paragraph_height(caution, self.width - 12)


def _said(words: Sequence[str]) -> str:
    return "  ·  ".join(word for word in words if word)


def _paragraph(pen: Pen, x: float, top: float, text: str, width: float) -> float:
    """Write wrapped text and return where it ends."""
    for line in wrapped(text, Face.PLAIN, _TEXT, width):
        top -= _TEXT * 1.25
        pen.text(x, top + _TEXT * 0.2, line, _TEXT)
    return top - 2


def _paragraph_height(text: str, width: float) -> float:
    return len(wrapped(text, Face.PLAIN, _TEXT, width)) * _TEXT * 1.25 + 2
