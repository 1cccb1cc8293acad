"""Quick answers about one plan: an opening by its label, stock by its name, the name of a piece."""

from __future__ import annotations

from service.documents.pieces import piece_code, piece_label
from solver.lengths import Ticks
from solver.openings import Opening
from solver.plan import CutBlank, CutRail, Place, Plan
from solver.problem import Problem


class PlanIndex:
    """A problem and its plan, looked up by name. Built once for a document."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.plan = plan
        self._openings = {opening.label: opening for opening in problem.openings}
        self._screens = {screen.opening: screen for screen in plan.screens}
        labels = problem.numbering or tuple(screen.opening for screen in plan.screens)
        self._numbers = {label: number for number, label in enumerate(labels, start=1)}
        self._sticks = {stick.name: stick for stick in problem.catalogue.sticks}

    def opening(self, label: str) -> Opening | None:
        """Return an opening as it was read, or None for a screen that stands for no single row."""
        return self._openings.get(label)

    def number(self, label: str) -> int:
        """Return an opening's number in the codes of its pieces; it outlasts revisions."""
        return self._numbers[label]

    def quantity(self, label: str) -> int:
        """Return how many equal screens an opening stands for."""
        screen = self._screens.get(label)
        return screen.quantity if screen else 1

    def label(self, opening: str, copy: int, place: Place | None) -> str:
        """Return the name of a piece; None for the place is the mesh blank."""
        return piece_label(opening, copy, self.quantity(opening), place)

    def code(self, opening: str, copy: int, place: Place | None) -> str:
        """Return the short code of a piece; None for the place is the mesh blank."""
        return piece_code(self._numbers[opening], copy, place)

    def rail_label(self, rail: CutRail) -> str:
        """Return the name of a rail."""
        return self.label(rail.opening, rail.copy, rail.place)

    def blank_label(self, blank: CutBlank) -> str:
        """Return the name of a mesh blank."""
        return self.label(blank.opening, blank.copy, None)

    def rail_code(self, rail: CutRail) -> str:
        """Return the short code of a rail."""
        return self.code(rail.opening, rail.copy, rail.place)

    def blank_code(self, blank: CutBlank) -> str:
        """Return the short code of a mesh blank."""
        return self.code(blank.opening, blank.copy, None)

    def start_trim(self, stock: str) -> Ticks:
        """Return what is cut off a stick's starting end: the end trim, or nothing from a leftover's clean end."""
        stick = self._sticks.get(stock)
        return Ticks(0) if stick is not None and stick.leftover else self.problem.rules.end_trim
