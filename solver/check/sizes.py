"""Recount every screen's sizes from its opening's readings."""

from __future__ import annotations

from collections.abc import Iterator

from solver.catalogue import Corner
from solver.check.fault import Fault
from solver.check.hardware import hardware_faults
from solver.openings import Datum, Opening
from solver.plan import Place, Plan, Screen
from solver.problem import Problem
from solver.rules import BarAxis, Rules


def size_faults(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Yield what is wrong with the screens: missing, doubled, or of another size than the readings give."""
    screens = {screen.opening: screen for screen in plan.screens}
    if len(screens) != len(plan.screens):
        yield Fault(where="sizes", rule="one line an opening", amount=len(plan.screens) - len(screens))
    for opening in problem.openings:
        screen = screens.pop(opening.label, None)
        if screen is None:
            yield Fault(where=opening.label, rule="every opening is planned", amount=opening.quantity)
        else:
            yield from _screen_faults(problem, opening, screen)
    for label, screen in screens.items():
        yield Fault(where=label, rule="only openings of the job are planned", amount=screen.quantity)


def _screen_faults(problem: Problem, opening: Opening, screen: Screen) -> Iterator[Fault]:
    rules = problem.rules_of(opening)
    profile = next((p for p in problem.catalogue.profiles if p.name == screen.profile), None)
    asked = (opening.profile or screen.profile).casefold()
    if profile is None or asked != screen.profile.casefold():
        yield Fault(where=opening.label, rule=f"profile {screen.profile} is the one asked for", amount=1)
        return
    width = _frame_side(opening.widths, opening.width_datum, rules)
    height = _frame_side(opening.heights, opening.height_datum, rules)
    leg = profile.corner_leg if profile.corner is Corner.SQUARE else 0
    expected = {
        "quantity": (screen.quantity, opening.quantity),
        "frame width": (screen.frame_width, width),
        "frame height": (screen.frame_height, height),
        "mesh blank width": (screen.blank_width, width + 2 * rules.blank_allowance),
        "mesh blank height": (screen.blank_height, height + 2 * rules.blank_allowance),
    }
    level = rules.bar_axis is BarAxis.LEVEL or (rules.bar_axis is BarAxis.ACROSS_LONG and width <= height)
    span = (width if level else height) - 2 * profile.face
    lengths = {Place.TOP: width - 2 * leg, Place.BOTTOM: width - 2 * leg}
    lengths |= {Place.LEFT: height - 2 * leg, Place.RIGHT: height - 2 * leg, Place.BAR: span}
    for number, rail in enumerate(screen.rails, start=1):
        expected[f"rail {number} ({rail.place.value})"] = (rail.length, lengths[rail.place])
    for what, (found, wanted) in expected.items():
        if found != wanted:
            yield Fault(where=opening.label, rule=f"{what} follows from the readings", amount=found - wanted)
    yield from _rail_count_faults(opening, screen, rules, crossed=height if level else width)
    yield from hardware_faults(opening, screen, rules)


def _rail_count_faults(opening: Opening, screen: Screen, rules: Rules, *, crossed: int) -> Iterator[Fault]:
    places = [rail.place for rail in screen.rails]
    for place in Place:
        if place is not Place.BAR and places.count(place) != 1:
            yield Fault(where=opening.label, rule=f"one {place.value} rail", amount=places.count(place) - 1)
    bars = 0
    if max(screen.frame_width, screen.frame_height) > rules.bar_above:
        bars = 1
        while rules.bar_span and crossed > (bars + 1) * rules.bar_span:
            bars += 1
    if places.count(Place.BAR) != bars:
        rule = f"{bars} cross bars for this size" if bars != 1 else "one cross bar for this size"
        yield Fault(where=opening.label, rule=rule, amount=places.count(Place.BAR) - bars)


def _frame_side(readings: tuple[int, ...], datum: Datum, rules: Rules) -> int:
    smallest, step = min(readings), rules.size_step
    match datum:
        case Datum.CHANNEL_BOTTOMS:
            exact = smallest - rules.bottoms_clearance
        case Datum.CHANNEL_LIPS:
            exact = smallest + 2 * rules.lip_overlap
        case Datum.DEEP_CHANNEL:
            exact = smallest - rules.deep_clearance
        case Datum.STOPS:
            exact = smallest - rules.stops_clearance
        case Datum.FACE:
            exact = max(readings) + 2 * rules.face_overlap
            return exact + (-exact) % step
        case Datum.OLD_SCREEN | Datum.FINISHED:
            return smallest
    return exact - exact % step
