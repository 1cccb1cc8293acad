"""The buying decision as ``plan.json`` writes it: money, other ways to buy, kits opened, baskets."""

from __future__ import annotations

from dataclasses import replace

from service.documents import plan_models as models
from service.documents.certainty import percent_above
from service.documents.plan_values import PlanValues, money_string
from solver.money import Cents
from solver.plan import KitContent, Plan


def total_money(plan: Plan) -> models.TotalMoney:
    """Return what the whole purchase costs, the least anything could cost, and what it would cost by hand."""
    total, bound = plan.total, plan.bound
    above = None if total is None or bound is None else percent_above(total, bound)
    return models.TotalMoney(
        total=_optional(total),
        bound=_optional(bound),
        by_hand=_optional(plan.by_hand),
        proven=total is not None and total == bound,
        above_best_percent=None if above is None else str(above),
    )


def other_ways(plan: Plan) -> tuple[models.OtherWay, ...]:
    """Return the other ways to buy the whole job."""
    return tuple(models.OtherWay(name=way.name, words=way.words, cost=_optional(way.cost)) for way in plan.alternatives)


def opened_kits(plan: Plan, values: PlanValues) -> tuple[models.OpenedKits, ...]:
    """Return the kits opened and what of them is used."""
    return tuple(
        models.OpenedKits(
            kit=use.kit,
            profile=use.profile,
            colour=use.colour,
            buy=use.buy,
            on_hand=use.on_hand,
            contents=tuple(_content(content, values) for content in use.contents),
        )
        for use in plan.kits
    )


def baskets(plan: Plan, values: PlanValues) -> tuple[models.BuyingBasket, ...]:
    """Return what was bought in one decision, and how sure that is."""
    return tuple(
        models.BuyingBasket(
            name=basket.name,
            stick_groups=tuple(" ".join(pair).strip() for pair in basket.stick_groups),
            roll_groups=basket.roll_groups,
            hardware=tuple(hardware.value for hardware in basket.hardware),
            certainty=values.certainty(replace(basket.proof, joint="")),
        )
        for basket in plan.baskets
    )


def _content(content: KitContent, values: PlanValues) -> models.KitContents:
    return models.KitContents(
        what=content.what,
        there=values.amount(content.there, by_length=content.by_length),
        used=values.amount(content.used, by_length=content.by_length),
        length=None if content.length is None else values.length(content.length),
        width=None if content.width is None else values.length(content.width),
    )


def _optional(amount: Cents | None) -> str | None:
    return None if amount is None else money_string(amount)
