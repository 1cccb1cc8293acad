"""The plan in a few lines for a person who never read the documentation, and the same for a program."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from service.documents.amounts import buy_text, unit_length
from service.documents.certainty import certainty_words, measured_text, percent_above
from service.documents.comparison import total_by_hand, total_certainty, unpriced
from service.documents.group_text import (
    group_by_hand,
    group_certainty,
    group_cost,
    group_name,
    group_saved,
    groups_of,
)
from service.documents.leftovers import kept_mesh, kept_offcuts
from service.documents.plain_text import one_line
from service.documents.plan_values import money_string
from solver.money import Cents, money_text
from solver.plan import Basket, Kind, Plan
from solver.problem import Problem

_LINES_SHOWN = 20
"""Purchase lines shown before the rest is only counted."""
_STILL_SHOWN = 4
"""Screens that the leftovers would still make, as many as are shown."""


def summary_lines(problem: Problem, plan: Plan, *, with_groups: bool = True) -> list[str]:
    """Return what to buy, what it costs, how sure that is, what by hand would cost, leftovers and cautions.

    ``with_groups`` says whether each profile and mesh has its own lines.
    """
    return [
        *_heading(plan),
        "",
        *_buying(problem, plan),
        "",
        *_worth(plan),
        *(_groups(problem, plan) if with_groups else ()),
        "",
        *_leftovers(problem, plan),
        *_still(problem, plan),
        *_cautions(plan),
        *_set_aside(problem),
        *_assumed(plan),
    ]


def summary_json(problem: Problem, plan: Plan) -> dict[str, Any]:
    """Return the summary for a program: counts, money as decimal strings, and each group's certainty."""
    above = None if plan.total is None or plan.bound is None else percent_above(plan.total, plan.bound)
    return {
        "job": plan.name,
        "openings": len(plan.screens),
        "screens": _screens(plan),
        "currency": plan.currency,
        "total": _money(plan.total),
        "bound": _money(plan.bound),
        "by_hand": _money(plan.by_hand),
        "above_best_percent": None if above is None else str(above),
        "proven": all(group.proof.proven for group in groups_of(plan)) and plan.total == plan.bound,
        "groups": [
            {
                "name": group_name(group),
                "measure": group.proof.measure,
                "cost": group.proof.cost,
                "bound": group.proof.bound,
                "by_hand": group.by_hand.cost,
                "proven": group.proof.proven,
                "joint": group.proof.joint,
                "ending": group.proof.ending.value,
                "words": group_certainty(group),
            }
            for group in groups_of(plan)
        ],
        "alternatives": [{"name": way.name, "cost": _money(way.cost)} for way in plan.alternatives],
        "purchases": [
            {"what": line.what, "stock": line.stock, "buy": line.buy, "cost": _money(line.cost)}
            for line in plan.purchases
        ],
        "leftovers": {
            "sticks": sum(len(kept.sticks) for kept in kept_offcuts(plan)),
            "mesh": len(kept_mesh(plan)),
        },
        "notices": {kind.value: sum(notice.kind is kind for notice in plan.notices) for kind in Kind},
        "parked": len(problem.parked),
        "pinned": len(problem.pinned_rails) + len(problem.pinned_blanks),
        "assumed": list(plan.assumed),
    }


def _screens(plan: Plan) -> int:
    return sum(screen.quantity for screen in plan.screens)


def _money(amount: Cents | None) -> str | None:
    return None if amount is None else money_string(amount)


def _heading(plan: Plan) -> Iterator[str]:
    screens = _screens(plan)
    openings = len(plan.screens)
    counted = f"{openings:,} opening{'s' * (openings != 1)}"
    if screens != openings:
        counted = f"{counted}, {screens:,} screens"
    yield f"{one_line(plan.name)}: {counted}"


def _buying(problem: Problem, plan: Plan) -> Iterator[str]:
    buying = [line for line in plan.purchases if line.buy]
    yield "To buy" if buying else "Nothing to buy: all of it lies on the rack."
    for line in buying[:_LINES_SHOWN]:
        named = f"{line.what} ({line.stock})" if line.stock and line.stock != line.what else line.what
        cost = "" if line.cost is None else f"  {money_text(line.cost, plan.currency)}"
        yield f"  {buy_text(line, problem.unit):>16}  {one_line(named)}{cost}"
    if len(buying) > _LINES_SHOWN:
        yield f"  and {len(buying) - _LINES_SHOWN} more lines in the purchase list"
    taken = sum(line.on_hand > 0 for line in plan.purchases)
    if taken:
        yield f"  Stock on hand is used for {taken} line{'s' * (taken != 1)} of the purchase list."


def _worth(plan: Plan) -> Iterator[str]:
    if plan.total is not None:
        yield f"Total {money_text(plan.total, plan.currency)}"
    if unpriced(plan):
        yield unpriced(plan)
    yield total_certainty(plan)
    by_hand = total_by_hand(plan)
    if by_hand is not None:
        yield by_hand
    ways = [way for way in plan.alternatives if way.cost is None or way.cost not in (plan.total, plan.by_hand)]
    for way in ways:
        costs = "no way" if way.cost is None else money_text(way.cost, plan.currency)
        yield f"  {one_line(way.name)}: {costs}"


def _still(problem: Problem, plan: Plan) -> Iterator[str]:
    """Yield what the leftovers would still make: the largest screen of each sort, then common sizes."""
    for possible in plan.still_possible[:_STILL_SHOWN]:
        size = f"{unit_length(possible.frame_width, problem.unit)} x {unit_length(possible.frame_height, problem.unit)}"
        sort = " ".join(word for word in (possible.profile, possible.colour, possible.mesh) if word)
        what = "one screen of at most" if possible.largest else f"{possible.count:,} more of the size"
        lacking = "" if not possible.missing else ", with hardware bought for it"
        yield f"  What is left, uncut stock included, would still make {what} {size} ({one_line(sort)}){lacking}."
    if len(plan.still_possible) > 1:
        yield "  Each of these stands for itself: they draw on the same leftovers."


def _groups(problem: Problem, plan: Plan) -> Iterator[str]:
    for basket in plan.baskets:
        yield f"  bought together: {_basket_words(basket)}"
        cost = measured_text(basket.proof.measure, basket.proof.cost, problem.unit, plan.currency)
        yield f"    {cost}, {certainty_words(replace(basket.proof, joint=''))}"
    for group in groups_of(plan):
        if group.proof.joint:
            continue
        cost = group_cost(group, problem.unit, plan.currency)
        yield f"  {one_line(group_name(group))}: {cost}, {group_certainty(group)}"
        saved = group_saved(group)
        if total_by_hand(plan) is None and saved:
            hand = group_by_hand(group, problem.unit, plan.currency)
            yield f"    by hand {hand}: this plan takes {saved}"


def _basket_words(basket: Basket) -> str:
    words = [f"rails {profile} {colour}".strip() for profile, colour in basket.stick_groups]
    words += [f"mesh {mesh}".strip() for mesh in basket.roll_groups]
    words += [hardware.value for hardware in basket.hardware]
    return one_line(", ".join(words))


def _leftovers(problem: Problem, plan: Plan) -> Iterator[str]:
    sticks, mesh = kept_offcuts(plan), kept_mesh(plan)
    if not sticks and not mesh:
        yield "Leftovers: nothing worth keeping."
        return
    words = []
    if sticks:
        count = sum(len(kept.sticks) for kept in sticks)
        longest = unit_length(max(kept.length for kept in sticks), problem.unit)
        words.append(f"{count:,} stick offcut{'s' * (count != 1)} (longest {longest})")
    if mesh:
        words.append(f"{len(mesh):,} mesh piece{'s' * (len(mesh) != 1)}")
    yield f"Leftovers worth keeping: {' and '.join(words)}."


def _cautions(plan: Plan) -> Iterator[str]:
    counts = {kind: sum(notice.kind is kind for notice in plan.notices) for kind in Kind}
    if counts[Kind.CAUTION]:
        yield f"Cautions: {counts[Kind.CAUTION]}. Read them before cutting and fitting (sheet 'notices')."
    if counts[Kind.REVIEW]:
        yield f"To review: {counts[Kind.REVIEW]}."


def _set_aside(problem: Problem) -> Iterator[str]:
    pinned = len(problem.pinned_rails) + len(problem.pinned_blanks)
    if pinned:
        left = "piece, left as it is" if pinned == 1 else "pieces, left as they are"
        yield f"Cut before: {pinned:,} {left}; only the others are planned."
    if problem.parked:
        rows = len(problem.parked)
        counted = "1 row is" if rows == 1 else f"{rows:,} rows are"
        yield f"Not planned: {counted} set aside to be measured again (sheet 'measure again')."


def _assumed(plan: Plan) -> Iterator[str]:
    if plan.assumed:
        yield "Assumed, because the job does not say:"
        yield from (f"  {one_line(line)}" for line in plan.assumed)
