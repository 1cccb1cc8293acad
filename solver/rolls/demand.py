"""The problem put in order: equal blanks as kinds, ways to lay them, crosscut lengths, roll widths."""

from __future__ import annotations

from dataclasses import dataclass
from math import gcd

import numpy as np
from numpy.typing import NDArray

from solver.errors import ProblemError, ProblemFault
from solver.lengths import Ticks, mm_text
from solver.rolls.model import RollNesting, RollWidth

Whole = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """Equal blanks. ``members`` = (blank number, whether it stands the other way, how many)."""

    across: int
    along: int
    turns: bool
    members: tuple[tuple[int, bool, int], ...]

    @property
    def count(self) -> int:
        """How many blanks there are of this kind."""
        return sum(count for _, _, count in self.members)


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer:
    """A roll on offer: ``width`` is the number of its width in ``Demand.widths``.

    Lengths are in the demand's own unit. ``running`` rolls have the selling step
    as their ``length`` and join to one roll however many are bought.
    """

    number: int
    width: int
    length: int
    cost: int
    limit: int | None
    running: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Demand:
    """Kinds of blanks and rolls with every length divided exactly by what all have in common.

    A *lay* is a kind one way round. Of the two ways round only the narrower that
    fits a crosscut is of use in it, so each lay serves the crosscut lengths from
    number ``start`` up to, not including, ``stop``. Lays run by start.

    Attributes
    ----------
    counts
        Blanks of each kind, shape (n_kinds,).
    lay_kind, lay_across, lay_along, lay_turned, start, stop
        Shape (n_lays,); ``lay_across`` in width units, ``lay_along`` in length units.
    lengths
        Distinct crosscut lengths in length units, extra included, rising, shape (n_lengths,).
    widths
        Distinct roll widths in width units, rising, shape (n_widths,).
    reach
        Longest roll of each width, shape (n_widths,); a crosscut may be no longer.
    width_unit, length_unit
        Ticks in a width unit and in a length unit.
    extra
        Length lost at every crosscut, in length units.
    """

    problem: RollNesting
    kinds: tuple[Kind, ...]
    offers: tuple[Offer, ...]
    counts: Whole
    lay_kind: Whole
    lay_across: Whole
    lay_along: Whole
    lay_turned: Whole
    start: Whole
    stop: Whole
    lengths: Whole
    widths: Whole
    reach: Whole
    width_unit: int
    length_unit: int
    extra: int

    @property
    def turning(self) -> bool:
        """Whether some lay gives way to a narrower one at longer crosscuts."""
        return bool((self.stop < len(self.lengths)).any())

    def lays_at(self, length: int) -> Whole:
        """Return the lays of use in crosscut length number ``length``."""
        return np.flatnonzero((self.start <= length) & (length < self.stop))

    def fits(self) -> NDArray[np.bool_]:
        """Return which crosscut length some roll of a width can hold, shape (n_lengths, n_widths)."""
        return np.asarray(self.lengths[:, None] <= self.reach[None, :])


def ordered_demand(problem: RollNesting) -> Demand:
    """Return the problem as kinds, lays, crosscut lengths and roll widths.

    Raises
    ------
    ProblemError
        Naming each blank that fits no roll either way.
    """
    kinds = _kinds(problem)
    width_unit, length_unit = _units(problem)
    # A roll that is wider by less than the unit holds nothing more: rounding it down loses nothing.
    rolls = [
        (i, roll.width // width_unit, _length(roll.length, roll.step, length_unit)) for i, roll in _usable(problem)
    ]
    widths = sorted({width for _, width, _ in rolls if width})
    offers = tuple(_offer(problem, i, widths.index(width), length) for i, width, length in rolls if width and length)
    extra = problem.crosscut_extra // length_unit
    open_end = extra + sum(max(k.across, k.along) * k.count for k in kinds) // length_unit
    reach = [
        max([open_end if o.running else o.length for o in offers if o.width == w] or [0]) for w in range(len(widths))
    ]
    lays = []
    faults = []
    for number, kind in enumerate(kinds):
        ways = [(kind.across, kind.along, False)]
        if kind.turns and kind.across != kind.along:
            ways.append((kind.along, kind.across, True))
        fitting = []
        for across, along, turned in ways:
            lay = (along // length_unit, across // width_unit, turned)
            room = any(w >= lay[1] and r >= lay[0] + extra for w, r in zip(widths, reach, strict=True))
            if room and not 0 < problem.longest_crosscut < along:
                fitting.append(lay)
        if not fitting:
            faults.append(_fits_nowhere(kind, problem))
        # Of two ways round the one that is longer along the roll is also narrower, so it takes over.
        fitting.sort()
        lays += [(*lay, number, fitting[i + 1][0] if i + 1 < len(fitting) else None) for i, lay in enumerate(fitting)]
    if faults:
        raise ProblemError(tuple(faults))
    lays.sort(key=lambda lay: (lay[0], -lay[1], lay[3]))
    lengths = sorted({lay[0] for lay in lays})
    place = {length: i for i, length in enumerate(lengths)}
    return Demand(
        problem=problem,
        kinds=kinds,
        offers=offers,
        counts=np.array([kind.count for kind in kinds], dtype=np.int64),
        lay_kind=np.array([lay[3] for lay in lays], dtype=np.int64),
        lay_across=np.array([lay[1] for lay in lays], dtype=np.int64),
        lay_along=np.array([lay[0] for lay in lays], dtype=np.int64),
        lay_turned=np.array([lay[2] for lay in lays], dtype=np.int64),
        start=np.array([place[lay[0]] for lay in lays], dtype=np.int64),
        stop=np.array([len(lengths) if lay[4] is None else place[lay[4]] for lay in lays], dtype=np.int64),
        lengths=np.array([length + extra for length in lengths], dtype=np.int64),
        widths=np.array(widths, dtype=np.int64),
        reach=np.array(reach, dtype=np.int64),
        width_unit=width_unit,
        length_unit=length_unit,
        extra=extra,
    )


def _kinds(problem: RollNesting) -> tuple[Kind, ...]:
    members: dict[tuple[int, int, bool], list[tuple[int, bool, int]]] = {}
    for number, blank in enumerate(problem.blanks):
        swapped = blank.turns and blank.across > blank.along
        across, along = (blank.along, blank.across) if swapped else (blank.across, blank.along)
        turns = blank.turns and across != along
        members.setdefault((across, along, turns), []).append((number, swapped, blank.count))
    return tuple(
        Kind(across=across, along=along, turns=turns, members=tuple(members[across, along, turns]))
        for across, along, turns in sorted(members)
    )


def _usable(problem: RollNesting) -> list[tuple[int, RollWidth]]:
    return [(i, roll) for i, roll in enumerate(problem.rolls) if roll.limit != 0]


def _units(problem: RollNesting) -> tuple[int, int]:
    """Return the greatest units in which all blanks (and all selling steps) are whole."""
    across = [blank.across for blank in problem.blanks] + [b.along for b in problem.blanks if b.turns]
    along = [blank.along for blank in problem.blanks] + [b.across for b in problem.blanks if b.turns]
    steps = [roll.step for _, roll in _usable(problem) if roll.length is None]
    return gcd(*across), gcd(*along, problem.crosscut_extra, *steps)


def _length(length: int | None, step: int, unit: int) -> int:
    return (step if length is None else length) // unit


def _offer(problem: RollNesting, number: int, width: int, length: int) -> Offer:
    roll = problem.rolls[number]
    running = roll.length is None
    limit = None if running else roll.limit
    return Offer(number=number, width=width, length=length, cost=roll.cost, limit=limit, running=running)


def _fits_nowhere(kind: Kind, problem: RollNesting) -> ProblemFault:
    size = f"{mm_text(Ticks(kind.across))} mm across by {mm_text(Ticks(kind.along))} mm along"
    either = " either way round" if kind.turns else ""
    widest = max((roll.width for _, roll in _usable(problem)), default=0)
    longest = f", crosscuts at most {mm_text(Ticks(problem.longest_crosscut))} mm" if problem.longest_crosscut else ""
    return ProblemFault(
        source="",
        message=f"mesh blank {size} fits no roll{either} (widest usable {mm_text(Ticks(widest))} mm{longest}); "
        "add a wider or longer roll",
    )
