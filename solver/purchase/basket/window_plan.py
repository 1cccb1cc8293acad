"""The plan of one kit per window, cut by cut, so that no plan is ever dearer than that."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from solver.limits import Ending, Limits
from solver.parts.record import BasketPart
from solver.purchase.basket.blank_side import BlankSide, CutBlanks
from solver.purchase.basket.market import Trade
from solver.purchase.basket.per_window import KitWindows, kit_stick_lengths, mesh_way, rest_of, shared_out
from solver.purchase.basket.rail_side import CutRails, RailSide
from solver.purchase.basket.side import Solved, Terms
from solver.rolls.model import NestedCrosscut, NestedRoll, NestedStrip
from solver.sticks.effort import Effort
from solver.sticks.model import StickPattern


def window_groups(
    part: BasketPart, numbers: Trade, windows: KitWindows, missing_cost: int, effort: Effort, limits: Limits
) -> Iterator[Solved]:
    """Yield every group with each kit cut into its own window and the rest from loose stock.

    Parameters
    ----------
    part, numbers
        The basket and its sides.
    windows
        Which kit makes which window.
    missing_cost
        Cost of stock that does not exist.
    effort, limits
        Work counter, and what the rest of a group may use.
    """
    rest = rest_of(part, windows.made)
    rails = {(part.profile, part.colour): part for part in rest.rails}
    for side in numbers.rails:
        left = rails.get((side.part.profile, side.part.colour))
        loose = None
        if left is not None:
            loose = RailSide(left, side.slots, effort).solved(_loose_terms(side), missing_cost, limits)
        yield _with_patterns(side, loose, tuple(_kit_patterns(side, windows)))
    blanks = {part.mesh: part for part in rest.blanks}
    for mesh in numbers.blanks:
        cloth = blanks.get(mesh.part.mesh)
        loose = None
        if cloth is not None:
            loose = BlankSide(cloth, mesh.slots, effort).solved(_loose_terms(mesh), missing_cost, limits)
        yield _with_rolls(mesh, loose, tuple(_kit_rolls(part, mesh, windows)))


def _loose_terms(side: RailSide | BlankSide) -> Terms:
    """Return terms with what lies loose on the rack and everything sold that has no least number."""
    return Terms(
        free=tuple(
            (slot.offer.limit or 0) if not slot.offer.bought and not slot.offer.from_kit else 0 for slot in side.slots
        ),
        sold=tuple(slot.offer.bought and not slot.offer.from_kit and slot.least is None for slot in side.slots),
    )


def _kit_patterns(side: RailSide, windows: KitWindows) -> Iterator[StickPattern]:
    places = {
        (slot.offer.stock, slot.offer.length, slot.offer.bought): place
        for place, slot in enumerate(side.slots)
        if slot.offer.from_kit
    }
    numbers = {length: number for number, length in enumerate(side.problem.lengths)}
    for made in windows.made:
        if (made.screen.profile, made.screen.colour) != (side.part.profile, side.part.colour):
            continue
        lengths = kit_stick_lengths(made.kit, made.screen)
        shares = shared_out(made.kit, made.screen, side.part) or ()
        for stick in sorted({stick for stick, _ in shares}):
            rails = Counter(numbers[length] for other, length in shares if other == stick)
            place = places[made.kit.name, lengths[stick], made.bought]
            yield StickPattern(stock=place, rails=tuple(sorted(rails.items())), copies=made.windows)


def _with_patterns(side: RailSide, loose: Solved | None, patterns: tuple[StickPattern, ...]) -> Solved:
    """Join the kits' patterns and those of the rest, whose rails are numbered anew."""
    offers = tuple(slot.offer for slot in side.slots)
    used = [0] * len(offers)
    for pattern in patterns:
        used[pattern.stock] += pattern.copies
    if loose is None or not isinstance(loose.answer, CutRails):
        return _solved(loose, used, CutRails(offers=offers, patterns=patterns, lengths=side.problem.lengths))
    numbers = {length: number for number, length in enumerate(side.problem.lengths)}
    for pattern in loose.answer.patterns:
        rails = tuple(sorted((numbers[loose.answer.lengths[rail]], times) for rail, times in pattern.rails))
        patterns += (replace(pattern, stock=pattern.stock + len(offers), rails=rails),)
    answer = CutRails(offers=offers + loose.answer.offers, patterns=patterns, lengths=side.problem.lengths)
    return _solved(loose, used, answer)


def _kit_rolls(part: BasketPart, side: BlankSide, windows: KitWindows) -> Iterator[NestedRoll]:
    places = {
        (slot.offer.stock, slot.offer.bought): place for place, slot in enumerate(side.slots) if slot.offer.from_kit
    }
    numbers = {(blank.across, blank.along): number for number, blank in enumerate(side.problem.blanks)}
    for made in windows.made:
        if not made.meshed or made.screen.mesh != side.part.mesh:
            continue
        size = (made.screen.blank_width, made.screen.blank_height)
        turned = bool(mesh_way(made.kit, made.screen, part))
        across, along = size[::-1] if turned else size
        strip = NestedStrip(width=across, blanks=((numbers[size], turned, 1),))
        crosscut = NestedCrosscut(length=along, strips=(strip,), copies=1)
        yield NestedRoll(roll=places[made.kit.name, made.bought], crosscuts=(crosscut,), copies=made.windows)


def _with_rolls(side: BlankSide, loose: Solved | None, rolls: tuple[NestedRoll, ...]) -> Solved:
    """Join the kits' pieces and the rolls of the rest, whose blanks are numbered anew."""
    offers = tuple(slot.offer for slot in side.slots)
    used = [0] * len(offers)
    for roll in rolls:
        used[roll.roll] += roll.copies
    if loose is None or not isinstance(loose.answer, CutBlanks):
        return _solved(loose, used, CutBlanks(offers=offers, rolls=rolls, blanks=side.problem.blanks))
    numbers = {(blank.across, blank.along): number for number, blank in enumerate(side.problem.blanks)}
    there = [numbers[blank.across, blank.along] for blank in loose.answer.blanks]
    for roll in loose.answer.rolls:
        crosscuts = tuple(
            replace(
                crosscut,
                strips=tuple(
                    replace(
                        strip,
                        blanks=tuple((there[number], turned, times) for number, turned, times in strip.blanks),
                    )
                    for strip in crosscut.strips
                ),
            )
            for crosscut in roll.crosscuts
        )
        rolls += (replace(roll, roll=roll.roll + len(offers), crosscuts=crosscuts),)
    answer = CutBlanks(offers=offers + loose.answer.offers, rolls=rolls, blanks=side.problem.blanks)
    return _solved(loose, used, answer)


def _solved(loose: Solved | None, used: list[int], answer: CutRails | CutBlanks) -> Solved:
    if loose is not None:
        used = [one + other for one, other in zip(used, loose.used, strict=True)]
    return Solved(
        cost=0 if loose is None else loose.cost,
        bound=0,
        used=tuple(used),
        complete=loose is None or loose.complete,
        ending=Ending.EXHAUSTED,
        work=0 if loose is None else loose.work,
        answer=answer,
    )
