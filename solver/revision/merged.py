"""Kept cuts and newly planned ones as one group, numbered in cutting order."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import chain

from solver.catalogue import RollStock, StickStock
from solver.lengths import Ticks
from solver.limits import Ending
from solver.parts import BasketGroup, BasketPart, BlankPart, Group, Part, RailPart
from solver.parts.mesh_leftovers import mesh_leftovers
from solver.parts.rails import joint_kerf
from solver.plan import ByHand, Crosscut, CutRail, CutRoll, CutStick, Proof, RollGroup, StickGroup
from solver.revision.reduced import Kept
from solver.revision.stock import StandingRoll, StandingStick
from solver.rules import Rules

_NOTHING = ByHand(words="everything for the rest is on hand", cost=0)


def merged(part: Part, kept: Kept, group: Group | None) -> Group:
    """Return the answer to a part: the kept cuts with the plan of the rest, None where nothing is left to plan."""
    match part:
        case RailPart():
            assert group is None or isinstance(group, StickGroup)  # noqa: S101 - the answer to a rail part
            return _rails(part, kept, group, _proof(part.sticks, "ticks"))
        case BlankPart():
            assert group is None or isinstance(group, RollGroup)  # noqa: S101 - the answer to a mesh part
            return _blanks(part, kept, group, _proof(part.rolls, "square ticks"))
        case BasketPart():
            assert isinstance(group, BasketGroup)  # noqa: S101 - a basket always has an answer
            return _basket(part, kept, group)


def _basket(part: BasketPart, kept: Kept, group: BasketGroup) -> BasketGroup:
    sticks = {(each.profile, each.colour): each for each in group.stick_groups}
    rolls = {each.mesh: each for each in group.roll_groups}
    return replace(
        group,
        stick_groups=tuple(
            _rails(each, kept, sticks.get((each.profile, each.colour)), group.proof) for each in part.rails
        ),
        roll_groups=tuple(_blanks(each, kept, rolls.get(each.mesh), group.proof) for each in part.blanks),
    )


def _proof(stock: Iterable[StickStock | RollStock], without_prices: str) -> Proof:
    priced = all(each.price is not None for each in stock if each.on_sale)
    return Proof(measure="cents" if priced else without_prices, cost=0, bound=0, ending=Ending.PROVEN)


def _rails(part: RailPart, kept: Kept, group: StickGroup | None, proof: Proof) -> StickGroup:
    kerf = joint_kerf(part.rules.kerf, part.corner)
    mine = [s for s in kept.sticks if (s.profile, s.colour) == (part.profile, part.colour)]
    stock = {stick.name: stick for stick in part.sticks}
    sticks = [_as_cut(one, kerf, part.rules, leftover=stock[one.stock].leftover) for one in mine]
    sticks += group.sticks if group is not None else ()
    if group is None:
        group = StickGroup(
            profile=part.profile, colour=part.colour, joint_kerf=kerf, sticks=(), proof=proof, by_hand=_NOTHING
        )
    return replace(group, sticks=in_saw_order(sticks))


def in_saw_order(sticks: Iterable[CutStick]) -> tuple[CutStick, ...]:
    """Return sticks longest rails first, numbered anew."""
    ordered = sorted(sticks, key=lambda stick: ([-rail.length for rail in stick.rails], stick.stock, stick.number))
    return tuple(replace(stick, number=number) for number, stick in enumerate(ordered, start=1))


def _as_cut(one: StandingStick, kerf: Ticks, rules: Rules, *, leftover: bool) -> CutStick:
    head = 0 if leftover else rules.end_trim
    offcut = Ticks(max(0, one.length - head - sum(rail.length + kerf for rail in one.rails)))
    return CutStick(
        number=one.number,
        stock=one.stock,
        length=one.length,
        rails=one.rails,
        offcut=offcut,
        kept=offcut >= max(1, rules.useful_offcut),
        bought=False,
    )


def _blanks(part: BlankPart, kept: Kept, group: RollGroup | None, proof: Proof) -> RollGroup:
    added: dict[str, list[Crosscut]] = defaultdict(list)
    others = []
    for roll in group.rolls if group is not None else ():
        if roll.stock in kept.ends:
            added[roll.stock] += roll.crosscuts
        else:
            others.append(roll)
    end_of = {id(roll): name for name, roll in kept.ends.items()}
    rolls = [
        _roll(roll, (*roll.crosscuts, *added[end_of.get(id(roll), "")]), part.rules)
        for roll in kept.rolls
        if roll.mesh == part.mesh
    ]
    numbered = _numbered([*rolls, *others])
    if group is None:
        group = RollGroup(mesh=part.mesh, rolls=(), leftovers=(), proof=proof, by_hand=_NOTHING)
    leftovers = tuple(chain.from_iterable(mesh_leftovers(roll, part.rules) for roll in numbered))
    return replace(group, rolls=numbered, leftovers=leftovers)


def _roll(one: StandingRoll, crosscuts: tuple[Crosscut, ...], rules: Rules) -> CutRoll:
    used = Ticks(sum(cut.length + rules.crosscut_extra for cut in crosscuts))
    left = Ticks(one.length - used)
    return CutRoll(
        number=one.number,
        stock=one.stock,
        width=one.width,
        length=one.length,
        crosscuts=crosscuts,
        used=used,
        left=left,
        kept=one.width >= rules.useful_mesh_width and left >= max(1, rules.useful_mesh_length),
        bought=False,
    )


def _numbered(rolls: Sequence[CutRoll]) -> tuple[CutRoll, ...]:
    """Return rolls and their crosscuts numbered anew; crosscuts count through the whole group."""
    number = 0
    numbered = []
    for place, roll in enumerate(rolls, start=1):
        crosscuts = []
        for cut in roll.crosscuts:
            number += 1
            crosscuts.append(replace(cut, number=number))
        numbered.append(replace(roll, number=place, crosscuts=tuple(crosscuts)))
    return tuple(numbered)


def relabelled(group: StickGroup, old: Iterable[StandingStick]) -> StickGroup:
    """Return a group with its labels dealt so that sticks cut as planned before keep their rails."""
    planned: dict[tuple[str, Ticks, tuple[Ticks, ...]], list[StandingStick]] = defaultdict(list)
    for one in old:
        if (one.profile, one.colour) == (group.profile, group.colour):
            planned[one.stock, one.length, _lengths(one.rails)].append(one)
    same: dict[int, tuple[CutRail, ...]] = {}
    for number, stick in enumerate(group.sticks):
        alike = planned.get((stick.stock, stick.length, _lengths(stick.rails)))
        if alike:
            same[number] = alike.pop(0).rails
    taken = Counter(chain.from_iterable(same.values()))
    others: dict[Ticks, list[CutRail]] = defaultdict(list)
    for rail in (rail for stick in group.sticks for rail in stick.rails):
        if taken[rail]:
            taken[rail] -= 1
        else:
            others[rail.length].append(rail)
    sticks = []
    for number, stick in enumerate(group.sticks):
        rails = same.get(number) or tuple(others[rail.length].pop(0) for rail in stick.rails)
        sticks.append(replace(stick, rails=tuple(rails)))
    return replace(group, sticks=tuple(sticks))


def _lengths(rails: Iterable[CutRail]) -> tuple[Ticks, ...]:
    return tuple(sorted((rail.length for rail in rails), reverse=True))
