"""Share the cost of one plan out to its orders, adding up to the cent.

Every purchase line is shared on its own, by what the orders use of it: sticks
and kits by the rails' length with one saw cut each, mesh by the blanks' area,
hardware by its count or length, deliveries by what the orders pay for
everything else. Cents are rounded by the largest remainder.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from solver.catalogue import Hardware
from solver.money import Cents
from solver.plan import Plan, PurchaseLine, Screen
from solver.pooling.belonging import Belonging
from solver.problem import Problem


@dataclass(frozen=True, kw_only=True, slots=True)
class OrderShare:
    """What one order pays: ``total`` is the sum of the others."""

    order: str
    screens: int
    sticks: Cents
    mesh: Cents
    hardware: Cents
    kits: Cents
    delivery: Cents

    @property
    def total(self) -> Cents:
        """Everything together."""
        return Cents(self.sticks + self.mesh + self.hardware + self.kits + self.delivery)


def largest_remainder(amount: int, weights: Sequence[int]) -> list[int]:
    """Return an amount shared by weights, adding up exactly.

    Everybody gets the whole part of the exact share; what is left over goes,
    one each, to those with the largest remainders, the first of equals first.
    With weights of 0 alone the shares are equal.

    References
    ----------
    The method of largest remainders (Hamilton), as in apportionment.

    Examples
    --------
    >>> largest_remainder(100, [1, 1, 1])
    [34, 33, 33]
    """
    if not any(weights):
        weights = [1] * len(weights)
    total = sum(weights)
    shares = [amount * weight // total for weight in weights]
    order = sorted(range(len(weights)), key=lambda place: (-(amount * weights[place] % total), place))
    for place in order[: amount - sum(shares)]:
        shares[place] += 1
    return shares


def cost_shares(problem: Problem, plan: Plan, by: Belonging = Belonging.ORDER) -> tuple[OrderShare, ...]:
    """Return what each order pays of a plan's total, in the order in which they first appear.

    Parameters
    ----------
    problem, plan
        The job; lines without a price cost nobody anything.
    by
        What the openings are taken together by.
    """
    belongs = {opening.label: by.of(opening) for opening in problem.openings}
    orders = list(dict.fromkeys(belongs.values()))
    use = _Use(problem, plan, belongs)
    paid: dict[str, Counter[str]] = defaultdict(Counter)
    for line in plan.purchases:
        if line.cost and not _is_delivery(line):
            side, weights = use.of(line)
            for order, cost in zip(
                orders, largest_remainder(line.cost, [weights.get(order, 0) for order in orders]), strict=True
            ):
                paid[order][side] += cost
    before_delivery = [paid[order].total() for order in orders]
    for line in plan.purchases:
        if line.cost and _is_delivery(line):
            for order, cost in zip(orders, largest_remainder(line.cost, before_delivery), strict=True):
                paid[order]["delivery"] += cost
    return tuple(
        OrderShare(
            order=order,
            screens=use.screens[order],
            **{side: Cents(paid[order][side]) for side in ("sticks", "mesh", "hardware", "kits", "delivery")},
        )
        for order in orders
    )


def _is_delivery(line: PurchaseLine) -> bool:
    return not line.stock and line.what.startswith("delivery by ")


class _Use:
    """What every order uses of every sort of stock."""

    def __init__(self, problem: Problem, plan: Plan, belongs: Mapping[str, str]) -> None:
        self.screens: Counter[str] = Counter()
        self._rails: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
        self._mesh: dict[str, Counter[str]] = defaultdict(Counter)
        self._hardware: dict[tuple[Hardware, str], Counter[str]] = defaultdict(Counter)
        self._kinds = {pack.name: (pack.hardware, pack.fits) for pack in problem.catalogue.packs}
        self._profiles = {kit.name: (kit.profile, kit.colour) for kit in problem.catalogue.kits}
        self._profiles |= {stick.name: (stick.profile, stick.colour) for stick in problem.catalogue.sticks}
        self._meshes = {roll.name: roll.mesh for roll in problem.catalogue.rolls}
        for screen in plan.screens:
            self._count(screen, belongs[screen.opening], int(problem.rules.kerf))

    def _count(self, screen: Screen, order: str, kerf: int) -> None:
        number = screen.quantity
        self.screens[order] += number
        lengths = sum(rail.length + kerf for rail in screen.rails)
        self._rails[screen.profile, screen.colour][order] += number * lengths
        self._mesh[screen.mesh][order] += number * screen.blank_width * screen.blank_height
        for need in screen.needs:
            self._hardware[need.hardware, need.fits][order] += number * need.amount

    def of(self, line: PurchaseLine) -> tuple[str, Mapping[str, int]]:
        """Return the side a line belongs to, and how much of it each order uses."""
        first = line.what.partition(" ")[0]
        if first == "kit" and line.stock in self._profiles:
            return "kits", self._rails[self._profiles[line.stock]]
        if first == "stick" and line.stock in self._profiles:
            return "sticks", self._rails[self._profiles[line.stock]]
        if line.what.startswith(("roll ", "running length")) and line.stock in self._meshes:
            return "mesh", self._mesh[self._meshes[line.stock]]
        if line.stock in self._kinds:
            hardware, fits = self._kinds[line.stock]
            return "hardware", self._of_kind(hardware, fits)
        return "hardware", self.screens

    def _of_kind(self, hardware: Hardware, fits: str) -> Counter[str]:
        used: Counter[str] = Counter()
        for (kind, what), orders in self._hardware.items():
            if kind is hardware and fits in ("", what):
                used.update(orders)
        return used
