"""A part without the cuts that are kept: what is still to be planned, and from what."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from solver.catalogue import RollStock, StickStock
from solver.lengths import Ticks
from solver.parts import BasketPart, BlankPart, Part, RailPart
from solver.pieces import Place
from solver.plan import CutBlank, CutRail
from solver.revision.stock import StandingRoll, StandingStick


@dataclass(kw_only=True, slots=True)
class Kept:
    """Cuts that stay as they are planned. ``ends`` are the free ends of kept rolls, under a name of their own."""

    sticks: Sequence[StandingStick] = ()
    rolls: Sequence[StandingRoll] = ()
    ends: dict[str, StandingRoll] = field(default_factory=dict)

    @property
    def cuts(self) -> int:
        """How many sticks and crosscuts."""
        return len(self.sticks) + sum(len(roll.crosscuts) for roll in self.rolls)


def reduced(part: Part, kept: Kept) -> Part | None:
    """Return what is left of a part beside the kept cuts, or None; the free ends are noted in ``kept``."""
    match part:
        case RailPart():
            return _rails(part, kept)
        case BlankPart():
            return _blanks(part, kept)
        case BasketPart():
            rails = [_rails(each, kept) for each in part.rails]
            blanks = [_blanks(each, kept) for each in part.blanks]
            return replace(
                part,
                rails=tuple(each for each in rails if each is not None),
                blanks=tuple(each for each in blanks if each is not None),
            )


def _rails(part: RailPart, kept: Kept) -> RailPart | None:
    mine = [stick for stick in kept.sticks if (stick.profile, stick.colour) == (part.profile, part.colour)]
    copies: dict[tuple[str, Place, Ticks], list[int]] = defaultdict(list)
    for rail in (rail for stick in mine for rail in stick.rails):
        copies[rail.opening, rail.place, rail.length].append(rail.copy)
    runs = []
    for run in part.runs:
        cut = _claim(copies[run.opening, run.place, run.length], run.copies)
        if len(cut) < run.quantity:
            runs.append(replace(run, quantity=run.quantity - len(cut), pinned=(*run.pinned, *cut)) if cut else run)
    if not runs:
        return None
    used = Counter(stick.stock for stick in mine)
    sticks = tuple(_taken(stick, used[stick.name]) for stick in part.sticks)
    return replace(part, runs=tuple(runs), sticks=sticks)


def _taken(stick: StickStock, count: int) -> StickStock:
    return replace(stick, on_hand=stick.on_hand - count) if count else stick


def _claim(copies: list[int], wanted: Iterable[int]) -> tuple[int, ...]:
    """Take each wanted copy once; of equal cross bars of one screen the next run gets the next."""
    if not copies:
        return ()
    claimed = tuple(sorted(set(copies).intersection(wanted)))
    for copy in claimed:
        copies.remove(copy)
    return claimed


def _blanks(part: BlankPart, kept: Kept) -> BlankPart | None:
    mine = [roll for roll in kept.rolls if roll.mesh == part.mesh]
    blanks = [blank for roll in mine for cut in roll.crosscuts for strip in cut.strips for blank in strip.blanks]
    copies: dict[str, list[int]] = defaultdict(list)
    for blank in blanks:
        copies[blank.opening].append(blank.copy)
    facades = {run.opening: run.facade for run in part.runs}
    if part.one_way:
        part = part.decided({facades[blank.opening]: blank.turned for blank in blanks if blank.opening in facades})
    runs = []
    for run in part.runs:
        cut = _claim(copies[run.opening], run.copies)
        if len(cut) < run.quantity:
            runs.append(replace(run, quantity=run.quantity - len(cut), pinned=(*run.pinned, *cut)) if cut else run)
    if not runs:
        return None
    used = Counter(roll.stock for roll in mine)
    rolls = [replace(roll, on_hand=roll.on_hand - used[roll.name]) if used[roll.name] else roll for roll in part.rolls]
    return replace(part, runs=tuple(runs), rolls=(*rolls, *_free_ends(part, mine, kept)))


def _free_ends(part: BlankPart, rolls: Iterable[StandingRoll], kept: Kept) -> list[RollStock]:
    ends = []
    for roll in rolls:
        free = roll.length - sum(cut.length + part.rules.crosscut_extra for cut in roll.crosscuts)
        if free > 0:
            name = f"free end {len(kept.ends) + 1} of {roll.stock}"
            kept.ends[name] = roll
            ends.append(
                RollStock(
                    name=name,
                    mesh=part.mesh,
                    width=roll.width,
                    length=Ticks(free),
                    on_sale=False,
                    on_hand=1,
                    leftover=True,
                )
            )
    return ends


def open_rails(part: Part) -> Counter[tuple[object, ...]]:
    """Return every rail still to cut, by profile, colour, opening, copy, place and length."""
    rails: Counter[tuple[object, ...]] = Counter()
    for each in (part,) if isinstance(part, RailPart) else part.rails if isinstance(part, BasketPart) else ():
        for run in each.runs:
            for copy in run.copies:
                rails[each.profile, each.colour, run.opening, copy, run.place, run.length] += 1
    return rails


def open_blanks(part: Part) -> Counter[tuple[object, ...]]:
    """Return every blank still to cut, by mesh, opening, copy, width and height."""
    blanks: Counter[tuple[object, ...]] = Counter()
    for each in (part,) if isinstance(part, BlankPart) else part.blanks if isinstance(part, BasketPart) else ():
        for run in each.runs:
            for copy in run.copies:
                blanks[each.mesh, run.opening, copy, run.width, run.height] += 1
    return blanks


def rail_key(profile: str, colour: str, rail: CutRail) -> tuple[object, ...]:
    """Return a planned rail as :func:`open_rails` counts it."""
    return (profile, colour, rail.opening, rail.copy, rail.place, rail.length)


def blank_key(mesh: str, blank: CutBlank) -> tuple[object, ...]:
    """Return a planned blank as :func:`open_blanks` counts it."""
    width, height = (blank.along, blank.across) if blank.turned else (blank.across, blank.along)
    return (mesh, blank.opening, blank.copy, width, height)
