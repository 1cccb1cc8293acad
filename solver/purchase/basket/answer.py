"""Solve a basket: kits, suppliers and every group in one decision, labelled cuts back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain

from solver.catalogue import Kit
from solver.errors import ProblemError, ProblemFault
from solver.lengths import Ticks
from solver.limits import Ending, Limits, Progress
from solver.parts.blanks import labelled_rolls, roll_group
from solver.parts.mesh_leftovers import mesh_leftovers
from solver.parts.one_way import proof_with, with_forced_ways
from solver.parts.rails import labelled_sticks, stick_group
from solver.parts.record import BasketGroup, BasketPart
from solver.plan import ByHand, Proof, RollGroup, StickGroup
from solver.purchase.basket.blank_side import MOST_SIZES, CutBlanks
from solver.purchase.basket.hand import HandWay, Paid, listed_needs, loose_by_hand, packs_paid, wants_by_kind
from solver.purchase.basket.market import Trade, trade
from solver.purchase.basket.per_window import KitWindows, kit_per_window
from solver.purchase.basket.rail_side import CutRails
from solver.purchase.basket.search import Plan, Search
from solver.purchase.basket.setting import Setting
from solver.purchase.basket.window_plan import window_groups
from solver.purchase.hardware import kit_hardware
from solver.purchase.packs import cheapest_packs
from solver.sticks.effort import Effort

LOOSE_BY_HAND = (
    "longest rail first, all sticks of the best single length; longest blank first, all rolls of the best single "
    "width; the cheapest packs"
)


def basket_group(part: BasketPart, limits: Limits) -> BasketGroup:
    """Return the cheapest basket found, with the exact lower bound on any.

    Facades that are to lie one way and are not decided lie upright in it, if they
    fit so; the bound is that of blanks which may each turn for themselves.

    Raises
    ------
    ProblemError
        If what can be bought and what is on hand do not suffice.
    """
    if not any(blanks.one_way for blanks in part.blanks):
        return _cheapest(part, limits)
    half = replace(limits, work=max(1, limits.work // 2), seconds=limits.seconds / 2)
    forced = [with_forced_ways(blanks) for blanks in part.blanks]
    upright = tuple(blanks.decided(dict.fromkeys(blanks.undecided, False)) for blanks in forced)
    free = tuple(
        replace(blanks, one_way=False, turns=True, ways=()) if blanks.one_way else blanks for blanks in part.blanks
    )
    found = _cheapest(replace(part, blanks=upright), half)
    relaxed = _cheapest(replace(part, blanks=free), replace(half, report=_quiet))
    proof = proof_with(found.proof, relaxed.proof.bound)
    return replace(
        found,
        proof=proof,
        stick_groups=tuple(replace(group, proof=proof) for group in found.stick_groups),
        roll_groups=tuple(replace(group, proof=proof) for group in found.roll_groups),
    )


def _cheapest(part: BasketPart, limits: Limits) -> BasketGroup:
    """Return the cheapest basket found where every facade is decided.

    Raises
    ------
    ProblemError
        If what can be bought and what is on hand do not suffice.
    """
    effort = Effort(limits)
    numbers = trade(part, effort)
    windows = kit_per_window(part)
    search = Search(numbers, effort)
    if windows.made:
        share = replace(limits, work=max(1, limits.work // 50), report=_quiet)
        groups = tuple(window_groups(part, numbers, windows, search.missing_cost, effort, share))
        effort.spend(sum(group.work for group in groups))
        search.offer(_everybody(part, windows.kits), groups)
    hand = loose_by_hand(part)
    large = sum(len(side.problem.blanks) for side in numbers.blanks) > MOST_SIZES
    ending = search.run(
        _hand_start(part, numbers, hand) if large and hand is not None else _starts(part, numbers, windows)
    )
    if search.best is None:
        raise ProblemError(tuple(_shortages(part, numbers, limits)))
    plan = search.best
    paid = _paid(part, numbers, plan)
    ending = Ending.PROVEN if paid.cost == search.bound else ending
    proof = Proof(measure="cents", cost=paid.cost, bound=search.bound, ending=ending, joint=part.name)
    by_hand = ByHand(words=LOOSE_BY_HAND, cost=None if hand is None else hand.cost)
    return BasketGroup(
        name=part.name,
        stick_groups=tuple(_stick_groups(part, numbers, plan, proof, by_hand)),
        roll_groups=tuple(_roll_groups(part, numbers, plan, proof, by_hand)),
        hardware=tuple(wants_by_kind(part)),
        kits=tuple((kit.name, n) for kit, n in zip(part.kits, plan.setting.kits, strict=True) if n),
        suppliers=tuple(sorted(paid.suppliers)),
        proof=proof,
        by_hand=by_hand,
        per_window=ByHand(words=_window_words(windows), cost=windows.cost),
    )


def _paid(part: BasketPart, numbers: Trade, plan: Plan) -> Paid:
    """Return what a plan costs once its packs are chosen anew, and who delivers for a charge."""
    cost = 0
    sellers = set()
    loose = {number: plan.groups[group].used[place] for (group, place), number in numbers.loose.items()}
    kits = dict(zip(numbers.kits, plan.setting.kits, strict=True))
    for number, count in (loose | kits).items():
        article = numbers.market.articles[number]
        cost += article.price_of(count)
        if count and article.supplier is not None:
            sellers.add(part.suppliers[article.supplier].name)
    charges = {supplier.name: int(supplier.delivery) for supplier in part.suppliers}
    bought = {kit.name: count for kit, count in zip(part.kits, plan.setting.kits, strict=True)}
    opened = [replace(kit, on_hand=bought[kit.name]) for kit in part.kits]
    allowed = frozenset(part.suppliers[number].name for number in plan.delivers)
    while True:
        packs = [
            packs_paid(replace(part, rack=(*part.rack, *opened)), hardware, needs, frozenset(charges) - allowed)
            for hardware, needs in wants_by_kind(part).items()
        ]
        # A plan's packs can be bought, so none of them is None.
        each = [paid for paid in packs if paid is not None]
        delivers = frozenset(sellers).union(*(paid.suppliers for paid in each)) & frozenset(charges)
        if delivers == allowed:
            return Paid(
                cost=cost + sum(paid.cost for paid in each) + sum(charges[name] for name in delivers),
                suppliers=delivers,
            )
        # Whoever sells nothing any more is left out, until everyone left sells something.
        allowed = delivers


def _everybody(part: BasketPart, kits: tuple[int, ...]) -> Setting:
    return Setting(kits=kits, used=frozenset(), delivers=(True,) * len(part.suppliers))


def _quiet(progress: Progress) -> None:
    del progress


def _hand_start(part: BasketPart, numbers: Trade, hand: HandWay) -> Iterator[Setting]:
    """Yield loose stock from those who deliver when the shop buys by hand: so many sizes leave no time for others."""
    least = _sold_in_least_numbers(numbers)
    delivers = tuple(supplier.name in hand.delivers for supplier in part.suppliers)
    for used in dict.fromkeys((frozenset[int](), least)):
        yield Setting(kits=(0,) * len(part.kits), used=used, delivers=delivers)


def _starts(part: BasketPart, numbers: Trade, windows: KitWindows) -> Iterator[Setting]:
    """Yield what the search tries first: loose stock from everybody and from each alone, then one kit per window."""
    suppliers = len(part.suppliers)
    none = (0,) * len(part.kits)
    least = _sold_in_least_numbers(numbers)
    everybody = (True,) * suppliers
    kinds = [everybody, (False,) * suppliers]
    kinds += [tuple(other == one for other in range(suppliers)) for one in range(suppliers)]
    for used in dict.fromkeys((frozenset[int](), least)):
        for delivers in dict.fromkeys(kinds):
            yield Setting(kits=none, used=used, delivers=delivers)
        if any(windows.kits):
            yield Setting(kits=windows.kits, used=used, delivers=everybody)


def _sold_in_least_numbers(numbers: Trade) -> frozenset[int]:
    articles = enumerate(numbers.market.articles)
    return frozenset(n for n, article in articles if article.minimum > 1 and article.group is not None)


def _window_words(windows: KitWindows) -> str:
    if windows.cost is None:
        return "no kit on sale makes one of these windows"
    if not windows.without:
        return "every window from one kit; what the kits lack in loose stock by hand"
    made = f"{windows.windows - windows.without} of {windows.windows} windows"
    return f"{made} from one kit each; the rest, and what the kits lack, in loose stock by hand"


def _stick_groups(part: BasketPart, numbers: Trade, plan: Plan, proof: Proof, by_hand: ByHand) -> Iterator[StickGroup]:
    for rails, side, solved in zip(part.rails, numbers.rails, plan.groups, strict=False):
        if isinstance(solved.answer, CutRails):
            yield StickGroup(
                profile=rails.profile,
                colour=rails.colour,
                joint_kerf=Ticks(side.problem.kerf),
                sticks=tuple(labelled_sticks(rails, side.problem, solved.answer.offers, solved.answer.patterns)),
                proof=proof,
                by_hand=by_hand,
            )


def _roll_groups(part: BasketPart, numbers: Trade, plan: Plan, proof: Proof, by_hand: ByHand) -> Iterator[RollGroup]:
    for blanks, side, solved in zip(part.blanks, numbers.blanks, plan.groups[len(part.rails) :], strict=True):
        if isinstance(solved.answer, CutBlanks):
            rolls = tuple(labelled_rolls(blanks, side.problem, solved.answer.offers, solved.answer.rolls))
            yield RollGroup(
                mesh=blanks.mesh,
                rolls=rolls,
                leftovers=tuple(chain.from_iterable(mesh_leftovers(roll, blanks.rules) for roll in rolls)),
                proof=proof,
                by_hand=by_hand,
            )


def _shortages(part: BasketPart, numbers: Trade, limits: Limits) -> Iterator[ProblemFault]:
    """Yield what falls short even with every kit that can be had."""
    articles = [numbers.market.articles[number] for number in numbers.kits]
    most = {a.name: a.most if a.limit is None else min(a.most, a.limit) for a in articles}
    found = False
    for rails in part.rails:
        try:
            stick_group(replace(rails, kits=_opened(rails.kits, most)), limits)
        except ProblemError as error:
            found = True
            yield from error.faults
    for blanks in part.blanks:
        try:
            roll_group(replace(blanks, kits=_opened(blanks.kits, most)), limits)
        except ProblemError as error:
            found = True
            yield from error.faults
    kits = [(kit, kit.on_hand) for kit in part.rack] + [(kit, most[kit.name]) for kit in part.kits]
    for hardware, needs in wants_by_kind(part).items():
        packs = [pack for pack in part.packs if pack.hardware is hardware]
        try:
            cheapest_packs(listed_needs(needs, packs), [*packs, *kit_hardware(hardware, kits)])
        except ProblemError as error:
            found = True
            yield from error.faults
    if not found:
        names = ", ".join(kit.name for kit in part.kits)
        yield ProblemFault(
            source=next((kit.source for kit in part.kits if kit.source), ""),
            message=f"no way was found to buy everything together within the numbers that can be bought "
            f"(kits: {names or 'none'}); raise the number of a kit, a stick, a roll or a pack that can be bought",
        )


def _opened(kits: Iterable[Kit], most: Mapping[str, int]) -> tuple[Kit, ...]:
    return tuple(replace(kit, on_hand=kit.on_hand + most.get(kit.name, 0)) for kit in kits)
