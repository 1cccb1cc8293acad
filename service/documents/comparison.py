"""The plan against doing it by hand, and against the best that can exist."""

from __future__ import annotations

from service.documents.certainty import percent_above
from service.documents.group_text import groups_of
from service.documents.saving import saved_text
from solver.money import Cents, money_text
from solver.plan import Plan


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


def unpriced(plan: Plan) -> str:
    """Return what the total leaves out: lines to buy that have no price; empty if there are none."""
    count = sum(line.buy > 0 and line.cost is None for line in plan.purchases)
    if plan.total is None or not count:
        return ""
    return f"Without {count:,} line{'s' * (count != 1)} that {'have' if count != 1 else 'has'} no price."
