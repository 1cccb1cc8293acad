"""A mesh that lies one way on each facade: which way, for every facade, is decided with the cutting."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

from solver.errors import ProblemError, ProblemFault
from solver.limits import Ending, Limits, Progress
from solver.parts.blanks import roll_group
from solver.parts.offers import roll_offers
from solver.parts.record import BlankPart
from solver.parts.shortage import roll_shortage
from solver.plan import Crosscut, CutBlank, Proof, RollGroup

FEW = 3
"""Facades up to which every choice of ways is planned."""
RELAXED_SHARE = 0.3
"""Share of the limits that goes into the plan that may turn every blank, whose bound holds for all."""

Ways = Mapping[str, bool]


def one_way_group(part: BlankPart, limits: Limits) -> RollGroup:
    """Return the cheapest plan found in which the blanks of a facade lie the same way.

    A facade that fits the rolls only one way lies that way. A plan in which every
    blank may turn for itself is never dearer, so its bound holds. With few facades
    every choice is planned, and the least of their bounds holds too; with more,
    facades are turned one by one from the best of three starts.

    Raises
    ------
    ProblemError
        If the rolls on sale and on hand do not suffice, whichever way the facades lie.
    """
    if part.undecided:
        part = with_forced_ways(part)
    if not part.undecided:
        return roll_group(part, limits)
    relaxed = relaxed_group(part, _portion(limits, RELAXED_SHARE))
    if (ways := _one_way_already(part, relaxed)) is not None:
        return _as_is(part, relaxed, ways)
    rest = 1 - RELAXED_SHARE
    if len(part.undecided) <= FEW:
        groups = _each(part, _portion(limits, rest / 2 ** len(part.undecided)))
        bound = (
            relaxed.proof.bound
            if None in groups
            else max(relaxed.proof.bound, min(group.proof.bound for group in groups if group is not None))
        )
        found = [group for group in groups if group is not None]
    else:
        found, bound = list(_turned_by_and_by(part, relaxed, _portion(limits, rest))), relaxed.proof.bound
    if not found:
        raise ProblemError((roll_shortage(part, roll_offers(part)),))
    return with_bound(min(found, key=lambda group: group.proof.cost), bound)


def with_forced_ways(part: BlankPart) -> BlankPart:
    """Return the part with every facade decided that fits its rolls only one way.

    Raises
    ------
    ProblemError
        If on one facade some blanks fit only turned, others only upright.
    """
    only = _only_ways(part)
    faults = tuple(_at_odds(part, only))
    if faults:
        raise ProblemError(faults)
    undecided = set(part.undecided)
    return part.decided({facade: bool(ways[True]) for facade, ways in only.items() if facade in undecided})


def _only_ways(part: BlankPart) -> dict[str, dict[bool, list[str]]]:
    """Return, by facade, the openings whose blanks fit no roll upright (True) or none turned (False)."""
    rooms = [(offer.usable, offer.length) for offer in roll_offers(part)]
    table = part.rules.longest_crosscut

    def fits(across: int, along: int) -> bool:
        return any(
            across <= width and (length is None or along <= length) and (not table or along <= table)
            for width, length in rooms
        )

    only: dict[str, dict[bool, list[str]]] = {}
    for run in part.runs:
        upright, turned = fits(run.width, run.height), fits(run.height, run.width)
        if upright != turned:
            only.setdefault(run.facade, {False: [], True: []})[turned].append(run.opening)
    return only


def _at_odds(part: BlankPart, only: Mapping[str, Mapping[bool, list[str]]]) -> Iterator[ProblemFault]:
    for facade, openings in sorted(only.items()):
        if openings[True] and openings[False]:
            words = " ".join(word for word in facade.split(" / ") if word) or "without a name"
            turned_ones, upright_ones = (", ".join(openings[way][:10]) for way in (True, False))
            yield ProblemFault(
                source="",
                message=f"mesh {part.mesh} lies one way on a facade, but on facade {words} its rolls take "
                f"{turned_ones} only turned, {upright_ones} only upright; name them as two facades, add a wider roll, "
                "or let the mesh turn",
            )


def relaxed_group(part: BlankPart, limits: Limits) -> RollGroup:
    """Return a plan in which every blank may turn for itself."""
    return roll_group(replace(part, one_way=False, turns=True, ways=()), limits)


def with_bound(group: RollGroup, bound: int) -> RollGroup:
    """Return a plan with a bound that holds for it."""
    return replace(group, proof=proof_with(group.proof, bound))


def proof_with(proof: Proof, bound: int) -> Proof:
    """Return a proof against another bound: proven only where it meets the cost."""
    bound = min(bound, proof.cost)
    if bound == proof.cost:
        return replace(proof, bound=bound, ending=Ending.PROVEN)
    return replace(proof, bound=bound, ending=Ending.EXHAUSTED if proof.ending is Ending.PROVEN else proof.ending)


def _portion(limits: Limits, share: float) -> Limits:
    return replace(limits, work=max(1, int(limits.work * share)), seconds=limits.seconds * share, report=_quiet)


def _quiet(progress: Progress) -> None:
    """Say nothing of a plan that is only one of several."""
    del progress


def _one_way_already(part: BlankPart, group: RollGroup) -> Ways | None:
    """Return the ways of a plan that keeps the rule by itself, None if it does not."""
    ways = dict(part.ways)
    for facade, turned in _lying(part, group):
        if ways.setdefault(facade, turned) != turned:
            return None
    return ways


def _as_is(part: BlankPart, group: RollGroup, ways: Ways) -> RollGroup:
    """Return the plan with its square blanks, which lie either way, lying as their facade does."""
    facades = {run.opening: run.facade for run in part.runs}

    def lying(blank: CutBlank) -> CutBlank:
        return replace(blank, turned=ways.get(facades[blank.opening], False)) if blank.across == blank.along else blank

    def cut_so(cut: Crosscut) -> Crosscut:
        strips = tuple(replace(strip, blanks=tuple(map(lying, strip.blanks))) for strip in cut.strips)
        return replace(cut, strips=strips)

    rolls = (replace(roll, crosscuts=tuple(map(cut_so, roll.crosscuts))) for roll in group.rolls)
    return replace(group, rolls=tuple(rolls))


def _lying(part: BlankPart, group: RollGroup) -> Iterator[tuple[str, bool]]:
    """Yield the facade of each blank, and whether it lies turned; a square blank lies either way."""
    facades = {run.opening: run.facade for run in part.runs}
    for roll in group.rolls:
        for strip in (strip for cut in roll.crosscuts for strip in cut.strips):
            for blank in strip.blanks:
                if blank.across != blank.along:
                    yield facades[blank.opening], blank.turned


def _each(part: BlankPart, limits: Limits) -> list[RollGroup | None]:
    return [
        _planned(part, dict(zip(part.undecided, turned, strict=True)), limits)
        for turned in product((False, True), repeat=len(part.undecided))
    ]


def _planned(part: BlankPart, ways: Ways, limits: Limits) -> RollGroup | None:
    try:
        return roll_group(part.decided(ways), limits)
    except ProblemError:
        return None


def _turned_by_and_by(part: BlankPart, relaxed: RollGroup, limits: Limits) -> Iterator[RollGroup]:
    """Yield ever cheaper plans: of three starts, with one facade after the other turned, then with more effort."""
    facades = part.undecided
    short = _portion(limits, 0.6 / (len(facades) + 3))
    area: Counter[str] = Counter()
    for run in part.runs:
        area[run.facade] += 0
    for facade, turned in _lying(part, relaxed):
        area[facade] += 1 if turned else -1
    starts = [
        dict.fromkeys(facades, False),
        dict.fromkeys(facades, True),
        {facade: area[facade] > 0 for facade in facades},
    ]
    tried = [(group, ways) for ways in starts if (group := _planned(part, ways, short)) is not None]
    if not tried:
        return
    best, ways = min(tried, key=lambda pair: pair[0].proof.cost)
    for facade in facades:
        other = {**ways, facade: not ways[facade]}
        group = _planned(part, other, short)
        if group is not None and group.proof.cost < best.proof.cost:
            best, ways = group, other
    yield best
    again = _planned(part, ways, _portion(limits, 0.4))
    if again is not None:
        yield again
