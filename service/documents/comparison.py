"""The plan against doing it by hand, and against the best that can exist."""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal

from service.documents.certainty import percent_above
from service.documents.group_text import groups_of
from solver.money import Cents, money_text
from solver.plan import Plan


def saved_text(cost: int, by_hand: int) -> str:
    """Return how much less a plan takes than by hand, in percent, rounded down to a tenth.

    Examples
    --------
    >>> saved_text(980, 1000), saved_text(1000, 1000)
    ('2 % less', 'the same')
    """
    if cost == by_hand:
        return "the same"
    share = (Decimal(abs(by_hand - cost)) * 100 / max(by_hand, 1)).quantize(Decimal("0.1"), rounding=ROUND_FLOOR)
    shown = f"{share.normalize():f} %" if share else "under 0.1 %"
    return f"{shown} {'less' if cost < by_hand else 'more'}"


def total_certainty(plan: Plan) -> str:
    """Return how sure the whole plan is, in one sentence."""
    if plan.total is not None and plan.bound is not None:
        if plan.total == plan.bound:
            return "Proven: no cheaper purchase exists."
        above = percent_above(plan.total, plan.bound)
        if above is not None:
            least = money_text(plan.bound, plan.currency)
            return f"At most {above} % above the cheapest purchase that can exist (nothing under {least})."
        return "How close to the cheapest purchase is not known."
    sure = [group.proof.proven for group in groups_of(plan)]
    if all(sure):
        return "Proven: no plan with less material exists for any group."
    return f"Proven for {sum(sure)} of {len(sure)} groups; the others say how close they are."


def total_by_hand(plan: Plan) -> str | None:
    """Return what the purchase would cost by hand; None where there is nothing to compare."""
    if plan.total is None or plan.by_hand is None:
        return None
    saved = Cents(plan.by_hand - plan.total)
    by_hand = money_text(plan.by_hand, plan.currency)
    against = saved_text(plan.total, plan.by_hand)
    if saved <= 0:
        return f"By hand a careful shop would pay {by_hand}: this plan costs {against}."
    return (
        f"By hand a careful shop would pay {by_hand}: this plan costs {against} ({money_text(saved, plan.currency)})."
    )
