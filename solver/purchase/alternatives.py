"""Other ways to buy the same job, side by side with the plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from solver.money import Cents
from solver.parts.record import BasketGroup
from solver.plan import Alternative, ByHand, RollGroup, StickGroup
from solver.problem import Problem

PLAN = "this plan"
LOOSE = "loose stock by hand"
PER_WINDOW = "one kit per window"


def alternatives(
    problem: Problem, total: Cents, alone: Iterable[StickGroup | RollGroup], baskets: Sequence[BasketGroup]
) -> tuple[Alternative, ...]:
    """Return this plan, loose stock by hand and, where kits are sold, one kit per window.

    Hardware outside the baskets is bought alike in every way.

    Parameters
    ----------
    problem
        The job.
    total
        What the plan costs.
    alone
        Groups with a price that are in no basket.
    baskets
        The joint decisions.
    """
    hands = [(group.by_hand, group.proof.cost) for group in alone]
    loose = [*hands, *((basket.by_hand, basket.proof.cost) for basket in baskets)]
    ways = [Alternative(name=PLAN, words="what this plan buys", cost=total)]
    if any(kit.on_sale and kit.price is not None for kit in problem.catalogue.kits) and baskets:
        kits = [*hands, *((basket.per_window, basket.proof.cost) for basket in baskets)]
        words = "; ".join(basket.per_window.words for basket in baskets)
        ways.append(Alternative(name=PER_WINDOW, words=words, cost=_instead(total, kits)))
    words = "; ".join(dict.fromkeys(hand.words for hand, _ in loose)) or "nothing to cut has a price"
    ways.append(Alternative(name=LOOSE, words=words, cost=_instead(total, loose)))
    return tuple(ways)


def _instead(total: Cents, hands: Iterable[tuple[ByHand, int]]) -> Cents | None:
    """Return the total with the cost by hand in place of each planned cost; None if one is no way."""
    sum_up = int(total)
    for hand, planned in hands:
        if hand.cost is None:
            return None
        sum_up += hand.cost - planned
    return Cents(sum_up)
