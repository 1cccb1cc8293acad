"""What one screen needs beside rails and mesh, and on which side it goes, seen from inside the room."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from solver.catalogue import Hardware
from solver.lengths import Ticks
from solver.openings import Mounting, Side
from solver.plan import Need
from solver.rules import Rules

CORNERS_OF_A_FRAME = 4
CLIPS_OF_A_BAR = 2


@lru_cache(maxsize=65_536)
def need(hardware: Hardware, amount: int, fits: str = "", place: str = "") -> Need:
    """Return a need; equal needs are one record, which keeps a large job small."""
    return Need(hardware=hardware, amount=amount, fits=fits, place=place)


def mounting_needs(mounting: Mounting, width: Ticks, height: Ticks, deepest: Side, rules: Rules) -> tuple[Need, ...]:
    """Return the hardware that holds a screen of this frame size in its opening.

    References
    ----------
    Common practice, no source; every count is a rule.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> kept = mounting_needs(Mounting.SPRINGS, inches(30), inches(40), Side.LEFT, Rules())
    >>> [(each.amount, each.hardware.value, each.place) for each in kept]
    [(2, 'tension spring', 'left side, the deepest channel'), (2, 'pull tab', 'right side, opposite the springs')]
    """
    match mounting:
        case Mounting.SPRINGS:
            third = _side_length(deepest, width, height) > rules.third_spring_above
            return _sprung(Hardware.SPRING, rules.springs + third, deepest, rules)
        case Mounting.LEAVES:
            return _sprung(Hardware.LEAF, rules.springs, deepest, rules)
        case Mounting.PINS:
            return _some(need(Hardware.PIN, rules.pins, "", _pin_places(rules, width, height)))
        case Mounting.CLIPS:
            return _clips(width, height, rules)
        case Mounting.SLIDING:
            rollers = _some(need(Hardware.ROLLER, rules.rollers, "", "top and bottom rail, near the corners"))
            closing = "the upright rail that closes against the jamb"
            return (
                *rollers,
                need(Hardware.LATCH, 1, "", closing),
                need(Hardware.PULL, 1, "", closing),
                need(Hardware.BUG_SEAL, height, "", "the upright rail that meets the sash, full height"),
            )
        case Mounting.MAGNETS:
            return (need(Hardware.MAGNET, 2 * (width + height), "", "all round the frame"),)


def mounting_line(
    mounting: Mounting, width: Ticks, height: Ticks, deepest: Side, rules: Rules, words: Mapping[int, str]
) -> str:
    """Return the arithmetic of the hardware that depends on the frame's size; empty where none does.

    Examples
    --------
    >>> from solver.frames import Words
    >>> from solver.lengths import Unit, inches
    >>> mounting_line(Mounting.CLIPS, inches(36), inches(60), Side.TOP, Rules(), Words(Unit.INCH))
    'face clips: at most 20 apart, at least 4: 2 on 36, 3 on 60; 2 x (2 + 3) = 10'
    """
    match mounting:
        case Mounting.SPRINGS:
            side = _side_length(deepest, width, height)
            if side <= rules.third_spring_above:
                return ""
            over = f"{deepest.value} side {words[side]} is over {words[rules.third_spring_above]}"
            return f"springs: {over}; {rules.springs} + 1 = {rules.springs + 1}"
        case Mounting.CLIPS:
            across, upright = _clip_counts(width, height, rules)
            asked = f"at most {words[rules.clip_spacing]} apart, at least {rules.least_clips}"
            return (
                f"face clips: {asked}: {across} on {words[width]}, {upright} on {words[height]}; "
                f"2 x ({across} + {upright}) = {2 * (across + upright)}"
            )
        case Mounting.SLIDING:
            return f"bug seal: frame height {words[height]}"
        case Mounting.MAGNETS:
            return f"magnetic strip: 2 x ({words[width]} + {words[height]}) = {words[2 * (width + height)]}"
        case _:
            return ""


def _side_length(side: Side, width: Ticks, height: Ticks) -> Ticks:
    return width if side in {Side.TOP, Side.BOTTOM} else height


def _sprung(hardware: Hardware, count: int, deepest: Side, rules: Rules) -> tuple[Need, ...]:
    """Springs push from the deepest channel, so the tabs that pull against them go opposite."""
    springs = need(hardware, count, "", f"{deepest.value} side, the deepest channel")
    tabs = need(Hardware.TAB, rules.tabs, "", f"{deepest.opposite.value} side, opposite the springs")
    return (*_some(springs), *_some(tabs))


def _some(wanted: Need) -> tuple[Need, ...]:
    return (wanted,) if wanted.amount else ()


@lru_cache(maxsize=1_024)
def _clip_places(top: int, left: int) -> str:
    return f"top and bottom {top} each, left and right {left} each"


def _clips(width: Ticks, height: Ticks, rules: Rules) -> tuple[Need, ...]:
    across, upright = _clip_counts(width, height, rules)
    return (need(Hardware.FACE_CLIP, 2 * (across + upright), "", _clip_places(across, upright)),)


def _clip_counts(width: Ticks, height: Ticks, rules: Rules) -> tuple[int, int]:
    """Spread the clips evenly over each side, so that also round a corner none is too far from the next."""
    spacing = rules.clip_spacing or max(width, height)
    across, upright = -(-width // spacing), -(-height // spacing)
    while 2 * (across + upright) < rules.least_clips:
        if height * across >= width * upright:
            upright += 1
        else:
            across += 1
    return across, upright


def _pin_places(rules: Rules, width: Ticks, height: Ticks) -> str:
    """Say which rails the pins go in; the office writes down the holes as drilled."""
    long, other = ("left", "right") if height >= width else ("top", "bottom")
    share, odd = divmod(rules.pins, 2)
    if odd:
        return f"{long} rail {share + 1}, {other} rail {share}; record the hole positions"
    return f"{long} and {other} rail, {share} each; record the hole positions"
