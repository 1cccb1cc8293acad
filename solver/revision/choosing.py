"""How much of the old plan to keep: every candidate costed, the cheapest with its changes chosen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from solver.errors import ProblemError
from solver.limits import Ending, Limits
from solver.money import Cents
from solver.parts import BasketGroup, BasketPart, Group, Part
from solver.plan import Crosscut, Proof, RollGroup, StickGroup
from solver.revision.merged import merged, relabelled
from solver.revision.reduced import Kept, blank_key, open_blanks, open_rails, rail_key, reduced
from solver.revision.stock import StandingRoll, StandingStick
from solver.solve import solve_part

FREED = (0, 2, 6, 14, 30)
"""How many sticks and crosscuts each further candidate frees, the most wasteful first."""
SHARE_ANEW = 2
"""One part in so many of the limits goes to planning the rest from scratch, the others share what is left."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Chosen:
    """The answer to one part, and what planning it from scratch would have cost."""

    group: Group
    changes: int
    kept: int
    cost_anew: int


def chosen(
    part: Part,
    sticks: Sequence[StandingStick],
    wanting: Sequence[StandingStick],
    rolls: Sequence[StandingRoll],
    limits: Limits,
    price_of_change: Cents,
) -> Chosen:
    """Return the plan of one part's rest that costs least, every changed stick or crosscut counted at a price.

    Candidates keep every old cut that still stands, or all but some sticks with
    long free ends, or none. The bound is that of planning from scratch, which
    may do whatever any candidate does. Without prices, or with a price of 0, the
    cheapest wins and of these the one with the fewest changes.

    Parameters
    ----------
    part
        What is open, with the stock as it is now.
    sticks, rolls
        Old cuts whose stock is on hand.
    wanting
        Old sticks whose stock did not come: cut alike they count as unchanged.
    limits
        For all candidates together.
    price_of_change
        What a changed stick or crosscut counts.

    Raises
    ------
    ProblemError
        If what can be had does not suffice.
    """
    stand = _still_wanted(part, sticks, rolls)
    old = [*stand.sticks, *wanting]
    share = replace(limits, work=limits.work // SHARE_ANEW, seconds=limits.seconds / SHARE_ANEW)
    everything = _kept_candidate(part, stand, share) if _covers(part, stand) else None
    if everything is not None and _cost(everything) == 0:
        return Chosen(group=everything, changes=0, kept=stand.cuts, cost_anew=0)
    anew = solve_part(part, share)
    if isinstance(anew, StickGroup):
        anew = relabelled(anew, old)
    bound, price = _proof(anew).bound, price_of_change if _proof(anew).measure == "cents" else 0
    best: tuple[int, int, Group, int] | None = None
    for kept in _lesser(stand):
        part_share = replace(share, work=share.work // len(FREED), seconds=share.seconds / len(FREED))
        group = _kept_candidate(part, kept, part_share)
        if group is None:
            continue
        changes = _changes(group, old, stand.rolls)
        counted = _cost(group) + price * changes
        if best is None or (counted, changes) < best[:2]:
            best = (counted, changes, group, kept.cuts)
        if _cost(group) <= _cost(anew):
            break
    changes_anew = _changes(anew, old, stand.rolls)
    if best is None or (_cost(anew) + price * changes_anew, changes_anew) < best[:2]:
        return Chosen(group=anew, changes=changes_anew, kept=0, cost_anew=_cost(anew))
    return Chosen(
        group=_with_bound(best[2], bound, _proof(anew).ending), changes=best[1], kept=best[3], cost_anew=_cost(anew)
    )


def _lesser(stand: Kept) -> Iterator[Kept]:
    """Yield ever fewer kept cuts: without the sticks with the longest free ends, and the most wasteful crosscuts."""
    by_free_end = sorted(stand.sticks, key=lambda s: s.length - sum(rail.length for rail in s.rails), reverse=True)
    cuts = [(roll, cut) for roll in stand.rolls for cut in roll.crosscuts]
    by_waste = sorted(cuts, key=lambda pair: _waste(*pair), reverse=True)
    for freed in FREED:
        if freed and freed >= max(len(by_free_end), len(by_waste)):
            return
        free = {(roll.mesh, cut.number) for roll, cut in by_waste[:freed]}
        yield Kept(sticks=by_free_end[freed:], rolls=_without(stand.rolls, free))


def _waste(roll: StandingRoll, cut: Crosscut) -> int:
    blanks = sum(blank.across * blank.along for strip in cut.strips for blank in strip.blanks)
    return roll.width * cut.length - blanks


def _without(rolls: Iterable[StandingRoll], free: set[tuple[str, int]]) -> list[StandingRoll]:
    kept = []
    for roll in rolls:
        crosscuts = tuple(cut for cut in roll.crosscuts if (roll.mesh, cut.number) not in free)
        if crosscuts:
            kept.append(replace(roll, crosscuts=crosscuts))
    return kept


def _still_wanted(part: Part, sticks: Iterable[StandingStick], rolls: Iterable[StandingRoll]) -> Kept:
    """Return the old cuts of this part whose pieces are all open; a crosscut with one piece no longer wanted falls."""
    rails, blanks = open_rails(part), open_blanks(part)
    kept_sticks = []
    for stick in sticks:
        keys = [rail_key(stick.profile, stick.colour, rail) for rail in stick.rails]
        if all(rails[key] >= keys.count(key) for key in keys):
            rails.subtract(keys)
            kept_sticks.append(stick)
    kept_rolls = []
    for roll in rolls:
        crosscuts = []
        for cut in roll.crosscuts:
            here = [blank_key(roll.mesh, blank) for strip in cut.strips for blank in strip.blanks]
            if all(blanks[key] > 0 for key in here):
                blanks.subtract(here)
                crosscuts.append(cut)
        if crosscuts:
            kept_rolls.append(replace(roll, crosscuts=tuple(crosscuts)))
    return Kept(sticks=kept_sticks, rolls=kept_rolls)


def _covers(part: Part, stand: Kept) -> bool:
    if isinstance(part, BasketPart):
        return False
    return reduced(part, Kept(sticks=stand.sticks, rolls=stand.rolls)) is None


def _kept_candidate(part: Part, kept: Kept, limits: Limits) -> Group | None:
    kept = Kept(sticks=kept.sticks, rolls=kept.rolls)
    rest = reduced(part, kept)
    if rest is None:
        return merged(part, kept, None)
    try:
        return merged(part, kept, solve_part(rest, limits))
    except ProblemError:
        return None


def _with_bound(group: Group, bound: int, ending: Ending) -> Group:
    """Return a group whose proof is against planning from scratch."""
    own = _proof(group)
    bound = min(bound, own.cost)
    if bound == own.cost:
        ending = Ending.PROVEN
    elif ending is Ending.PROVEN:
        ending = Ending.EXHAUSTED
    proof = replace(own, bound=bound, ending=ending)
    if isinstance(group, BasketGroup):
        return replace(
            group,
            proof=proof,
            stick_groups=tuple(replace(each, proof=proof) for each in group.stick_groups),
            roll_groups=tuple(replace(each, proof=proof) for each in group.roll_groups),
        )
    return replace(group, proof=proof)


def _proof(group: Group) -> Proof:
    return group.proof


def _cost(group: Group) -> int:
    return group.proof.cost


def _changes(group: Group, old: Iterable[StandingStick], rolls: Iterable[StandingRoll]) -> int:
    return sum(was is None for _, _, was in old_numbers(group, old, rolls))


def old_numbers(
    group: Group, old: Iterable[StandingStick], rolls: Iterable[StandingRoll]
) -> Iterator[tuple[str, int, int | None]]:
    """Yield every stick and crosscut of a group with its number, and the number it had where it is cut as before."""
    sticks: dict[object, list[int]] = {}
    for one in old:
        sticks.setdefault(_stick_mark(one.profile, one.colour, one), []).append(one.number)
    crosscuts: dict[object, list[int]] = {}
    for roll in rolls:
        for cut in roll.crosscuts:
            crosscuts.setdefault((roll.mesh, cut.length, cut.strips), []).append(cut.number)
    for rails in _stick_groups(group):
        for stick in rails.sticks:
            numbers = sticks.get(_stick_mark(rails.profile, rails.colour, stick))
            name = f"{rails.profile} {rails.colour}".strip()
            yield name, stick.number, numbers.pop(0) if numbers else None
    for blanks in _roll_groups(group):
        for cut in (cut for roll in blanks.rolls for cut in roll.crosscuts):
            numbers = crosscuts.get((blanks.mesh, cut.length, cut.strips))
            yield blanks.mesh, cut.number, numbers.pop(0) if numbers else None


def _stick_mark(profile: str, colour: str, stick: object) -> object:
    rails = sorted((rail.opening, rail.copy, rail.place.value, rail.length) for rail in stick.rails)  # type: ignore[attr-defined]
    return (profile, colour, stick.stock, stick.length, tuple(rails))  # type: ignore[attr-defined]


def _stick_groups(group: Group) -> tuple[StickGroup, ...]:
    if isinstance(group, BasketGroup):
        return group.stick_groups
    return (group,) if isinstance(group, StickGroup) else ()


def _roll_groups(group: Group) -> tuple[RollGroup, ...]:
    if isinstance(group, BasketGroup):
        return group.roll_groups
    return (group,) if isinstance(group, RollGroup) else ()
