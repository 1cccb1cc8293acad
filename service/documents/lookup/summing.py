"""The plan at a glance, in the words of the other documents."""

from __future__ import annotations

from itertools import chain

from service.documents.alike import runs_of_alike_crosscuts, runs_of_alike_sticks
from service.documents.amounts import amount_text, buy_text
from service.documents.comparison import total_by_hand, total_certainty
from service.documents.group_text import group_by_hand, group_certainty, group_cost, group_name, groups_of
from service.documents.leftovers import kept_mesh, kept_offcuts
from service.documents.lookup.records import GroupKind, GroupSummary, NoticeRow, PurchaseRow, RuleRow, Summary
from service.documents.notice_text import by_gravity, openings_text
from service.documents.rules_text import rule_lines
from service.documents.saving import saved_text
from solver.money import Cents, money_text
from solver.plan import Notice, Plan, PurchaseLine, RollGroup, StickGroup
from solver.problem import Problem

_NAMED = 6


def numbered_notices(plan: Plan) -> list[tuple[int, Notice]]:
    """Return the notices gravest first, numbered from 1."""
    return list(enumerate(by_gravity(plan.notices), start=1))


def summary(problem: Problem, plan: Plan) -> Summary:
    """Return the plan at a glance."""
    saved = None if plan.total is None or plan.by_hand is None else plan.by_hand - plan.total
    return Summary(
        job=plan.name,
        unit=problem.unit,
        currency=plan.currency,
        openings=len(plan.screens),
        screens=sum(screen.quantity for screen in plan.screens),
        total=_money(plan.total, plan.currency),
        certainty=total_certainty(plan),
        proven=plan.total == plan.bound and all(group.proof.proven for group in groups_of(plan)),
        by_hand=total_by_hand(plan) or "",
        by_hand_total=_money(plan.by_hand, plan.currency),
        saved=money_text(Cents(saved), plan.currency) if saved is not None and saved > 0 else "",
        groups=tuple(_group(number, group, problem, plan) for number, group in enumerate(groups_of(plan))),
        purchases=tuple(_purchase(line, problem) for line in plan.purchases),
        notices=tuple(
            NoticeRow(
                number=number,
                kind=notice.kind.value,
                topic=notice.topic,
                message=notice.message,
                openings=openings_text(notice.openings, named=_NAMED),
            )
            for number, notice in numbered_notices(plan)
        ),
        alternatives=tuple((way.words, _money(way.cost, plan.currency) or "no way") for way in plan.alternatives),
        assumed=plan.assumed,
        rules=tuple(
            RuleRow(
                what=rule.what, text=rule.text, openings=openings_text(rule.openings, _NAMED) if rule.openings else ""
            )
            for rule in rule_lines(problem)
        ),
        offcuts=sum(len(kept.sticks) for kept in kept_offcuts(plan)),
        mesh_pieces=len(kept_mesh(plan)),
        parked=len(problem.parked),
    )


def _group(number: int, group: StickGroup | RollGroup, problem: Problem, plan: Plan) -> GroupSummary:
    if isinstance(group, StickGroup):
        kind, cuts = GroupKind.STICKS, len(group.sticks)
        drawings = sum(1 for _ in runs_of_alike_sticks(group.sticks))
    else:
        kind, cuts = GroupKind.MESH, sum(len(roll.crosscuts) for roll in group.rolls)
        runs = chain.from_iterable(runs_of_alike_crosscuts(roll.crosscuts) for roll in group.rolls)
        drawings = sum(1 for _ in runs)
    by_hand = group.by_hand.cost
    comparable = by_hand is not None and not group.proof.joint
    return GroupSummary(
        number=number,
        kind=kind,
        name=group_name(group),
        cost=group_cost(group, problem.unit, plan.currency),
        certainty=group_certainty(group),
        proven=group.proof.proven,
        by_hand=group_by_hand(group, problem.unit, plan.currency),
        by_hand_words=group.by_hand.words,
        saved=saved_text(group.proof.cost, by_hand) if comparable and by_hand is not None else "",
        cuts=cuts,
        drawings=drawings,
    )


def _purchase(line: PurchaseLine, problem: Problem) -> PurchaseRow:
    def amount(number: int, *, up: bool) -> str:
        return amount_text(number, problem.unit, by_length=line.by_length, up=up) if number else ""

    return PurchaseRow(
        buy=buy_text(line, problem.unit) if line.buy else "",
        what=line.what,
        stock=line.stock if line.stock != line.what else "",
        price=_money(line.price, ""),
        cost=_money(line.cost, ""),
        need=amount(line.need, up=True),
        on_hand=amount(line.on_hand, up=False),
        left=amount(line.left, up=False),
        supplier=line.supplier,
        why=line.why,
    )


def _money(amount: Cents | None, currency: str) -> str:
    return "" if amount is None else money_text(amount, currency)
