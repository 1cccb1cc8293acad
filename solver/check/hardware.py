"""Recount the hardware of every screen from its frame and how it is held."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.catalogue import Hardware
from solver.check.fault import Fault
from solver.openings import Mounting, Opening, Side
from solver.plan import Place, Screen
from solver.rules import Rules


def hardware_faults(opening: Opening, screen: Screen, rules: Rules) -> Iterator[Fault]:
    """Yield hardware that is missing or too much for one screen."""
    width, height = screen.frame_width, screen.frame_height
    outline = 2 * (width + height)
    bars = sum(rail.place is Place.BAR for rail in screen.rails)
    wanted = Counter(
        {
            Hardware.CORNER: 4,
            Hardware.SPLINE: -(-outline * (1_000 + rules.spline_extra) // 1_000),
            Hardware.BAR_CLIP: 2 * bars,
            Hardware.LABEL: 1,
            Hardware.FALL_LABEL: 1,
        }
    )
    match opening.mounting:
        case Mounting.SPRINGS:
            side = width if opening.deepest_side in {Side.TOP, Side.BOTTOM} else height
            wanted[Hardware.SPRING] = rules.springs + (1 if side > rules.third_spring_above else 0)
            wanted[Hardware.TAB] = rules.tabs
        case Mounting.LEAVES:
            wanted[Hardware.LEAF] = rules.springs
            wanted[Hardware.TAB] = rules.tabs
        case Mounting.PINS:
            wanted[Hardware.PIN] = rules.pins
        case Mounting.SLIDING:
            wanted[Hardware.ROLLER] = rules.rollers
            wanted[Hardware.LATCH] = wanted[Hardware.PULL] = 1
            wanted[Hardware.BUG_SEAL] = height
        case Mounting.MAGNETS:
            wanted[Hardware.MAGNET] = outline
        case Mounting.CLIPS:
            yield from _clip_faults(opening, screen, rules)
    found: Counter[Hardware] = Counter()
    for need in screen.needs:
        if need.hardware is not Hardware.FACE_CLIP or opening.mounting is not Mounting.CLIPS:
            found[need.hardware] += need.amount
    for hardware in Hardware:
        if found[hardware] != wanted[hardware]:
            amount = found[hardware] - wanted[hardware]
            yield Fault(where=opening.label, rule=f"{hardware.value} enough and not more", amount=amount)


def _clip_faults(opening: Opening, screen: Screen, rules: Rules) -> Iterator[Fault]:
    """Face clips may be spread in more than one sound way, so only too few are a fault."""
    spacing = rules.clip_spacing or max(screen.frame_width, screen.frame_height)
    least = 2 * (-(-screen.frame_width // spacing) + -(-screen.frame_height // spacing))
    clips = sum(need.amount for need in screen.needs if need.hardware is Hardware.FACE_CLIP)
    if clips < max(least, rules.least_clips):
        rule = "face clips no farther apart than the rule says"
        yield Fault(where=opening.label, rule=rule, amount=clips - max(least, rules.least_clips))
