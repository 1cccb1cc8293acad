"""The purchase list of a whole plan, its total, its proven least total and the total by hand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from solver.money import Cents
from solver.plan import Kind, Notice, PurchaseLine, RollGroup, Screen, StickGroup
from solver.problem import Problem
from solver.purchase.hardware import hardware_lines
from solver.purchase.stock import roll_lines, stick_lines


@dataclass(frozen=True, kw_only=True, slots=True)
class Purchases:
    """The purchase lines and their totals; totals are None where nothing has a price."""

    lines: tuple[PurchaseLine, ...]
    total: Cents | None
    bound: Cents | None
    by_hand: Cents | None
    notices: tuple[Notice, ...]


def purchases(
    problem: Problem,
    screens: Iterable[Screen],
    stick_groups: Sequence[StickGroup],
    roll_groups: Sequence[RollGroup],
) -> Purchases:
    """Return what to buy for a plan.

    The total adds up the lines that have a price; a line without one is named in
    a notice. Packs are proven cheapest, so the bound differs from the total by
    the gaps of the stick and roll groups alone. By hand, the same hardware is
    bought.

    Raises
    ------
    ProblemError
        If hardware packs do not suffice.
    """
    stock = [*stick_lines(problem, stick_groups), *roll_lines(problem, roll_groups)]
    hardware = list(hardware_lines(problem, screens))
    lines = (*stock, *hardware)
    priced = [line.cost for line in lines if line.cost is not None]
    if not any(line.price is not None for line in lines):
        return Purchases(lines=lines, total=None, bound=None, by_hand=None, notices=())
    total = sum(priced)
    groups: list[StickGroup | RollGroup] = [*stick_groups, *roll_groups]
    in_cents = [group for group in groups if group.proof.measure == "cents"]
    gap = sum(group.proof.cost - group.proof.bound for group in in_cents)
    hand = None
    if all(group.by_hand.cost is not None for group in in_cents):
        hand = Cents(total + sum((group.by_hand.cost or 0) - group.proof.cost for group in in_cents))
    return Purchases(
        lines=lines,
        total=Cents(total),
        bound=Cents(total - gap),
        by_hand=hand,
        notices=tuple(_without_price(lines)),
    )


def _without_price(lines: Iterable[PurchaseLine]) -> list[Notice]:
    names = [line.stock or line.what for line in lines if line.price is None and line.buy]
    if not names:
        return []
    return [
        Notice(
            kind=Kind.NOTICE,
            topic="price",
            message=f"no price is known for {', '.join(names)}; the total leaves it out",
        )
    ]
