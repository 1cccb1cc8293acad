"""The search: first plan and bound, then the way that suits the rolls on offer, in two stages and then in three."""

from __future__ import annotations

from dataclasses import replace

from solver.errors import ProblemError, ProblemFault
from solver.limits import Ending, Limits, Progress
from solver.rolls.bounds import area_cut, least_cost
from solver.rolls.buying import Buying
from solver.rolls.by_hand import hand_plans
from solver.rolls.combined import combined_lengths, moved, moved_plan
from solver.rolls.crosscuts import CrosscutPricing
from solver.rolls.demand import Demand
from solver.rolls.effort import Effort
from solver.rolls.filled import Filled
from solver.rolls.model import NestingPlan
from solver.rolls.running import Running
from solver.rolls.slices import SliceMaster
from solver.rolls.stacks import StackPricing
from solver.rolls.standing import Standing
from solver.rolls.tidying import tidy
from solver.rolls.written import written

MOST_EFFORT = 256
PATIENCE = 12
"""Rounds without any gain, each with twice the effort, after which the search is given up."""
BUYING_FROM = 16
"""Effort from which running length is also sought by purchases; before that it is sought by length alone."""
SLICE_CUTS = 40
"""Purchases that are tried against slices before the search in three stages."""
TWO_STAGE_SHARE = 0.4
"""Share of the limits that goes into two stages where three are allowed."""


def searched_plan(demand: Demand, limits: Limits) -> NestingPlan:
    """Search until the plan is proven or a limit is hit, and return the best plan.

    Where three stages are allowed, the best plan in two stages comes first, so
    that three never cost more; its bound does not hold there and is dropped.

    Raises
    ------
    ProblemError
        If no plan was found; the message says so plainly where it is proven that there is none.
    """
    effort = Effort(limits)
    if demand.problem.stages == 2:
        standing = Standing(demand, effort, CrosscutPricing(demand, effort))
        _start(standing, tuple(hand_plans(demand)))
        standing.master.buy()
        standing.learn_cut()
    else:
        first = _two_stages(demand, limits)
        effort.spend(first.effort.work)
        demand = combined_lengths(demand)
        standing = Standing(demand, effort, StackPricing(demand, effort))
        _start(standing, tuple(hand_plans(demand)) if first.best is None else (moved_plan(demand, first.best),))
        for crosscut, width in first.master.columns:
            standing.master.add(moved(demand, crosscut), width)
        _learn_slices(standing)
    possible = standing.proven or _searched(standing)
    if standing.best is None or standing.cost is None:
        raise _too_little(proven=not possible)
    tidy(standing)
    ending = Ending.PROVEN if standing.proven else effort.ending or Ending.EXHAUSTED
    return NestingPlan(
        rolls=written(demand, standing.best),
        cost=standing.cost,
        bound=min(standing.bound, standing.cost),
        ending=ending,
        work=effort.work,
    )


def _two_stages(demand: Demand, limits: Limits) -> Standing:
    """Search in two stages with a share of the limits; its bound is not reported."""

    def cost_alone(progress: Progress) -> None:
        limits.report(Progress(cost=progress.cost, bound=None))

    part = replace(
        limits,
        work=round(limits.work * TWO_STAGE_SHARE),
        seconds=limits.seconds * TWO_STAGE_SHARE,
        report=cost_alone,
    )
    effort = Effort(part)
    standing = Standing(demand, effort, CrosscutPricing(demand, effort))
    _start(standing, tuple(hand_plans(demand)))
    standing.master.buy()
    standing.learn_cut()
    if not standing.proven:
        _searched(standing)
    return standing


def _learn_slices(standing: Standing) -> None:
    """Learn the cut by slices, then one for each purchase that is cheapest so far and that slices rule out."""
    slices = SliceMaster(standing.pricing, standing.effort)
    cut = slices.solved(400)
    if cut is None:
        return
    standing.purchases.add(cut)
    standing.raise_bound(least_cost(cut, standing.demand.offers) or 0)
    for _ in range(SLICE_CUTS):
        if standing.done:
            return
        purchase = standing.purchases.cheapest(standing.cost)
        if purchase is None and standing.cost is not None:
            standing.raise_bound(standing.cost)
        if purchase is None or not purchase.bought:
            return
        standing.raise_bound(purchase.bound)
        cut = slices.against(purchase.bought, 60)
        if cut is None or cut.satisfied(purchase.bought):
            return
        standing.purchases.add(cut)


def _searched(standing: Standing) -> bool:
    """Search the way that suits the rolls on offer; False if it is proven that they do not suffice."""
    offers = standing.demand.offers
    running = None
    if all(offer.running or offer.cost == 0 for offer in offers) and any(offer.running for offer in offers):
        running = Running(standing)
        running.dive(4)
    buying = Buying(standing)
    effort, idle, before = 1, 0, standing.cost
    while not standing.done and idle < PATIENCE:
        if running is not None:
            running.round(effort)
        if not standing.done and (running is None or effort >= BUYING_FROM) and not buying.round(effort):
            return False
        idle = idle + 1 if standing.cost == before else 0
        before = standing.cost
        effort = min(2 * effort, MOST_EFFORT)
    return True


def _start(standing: Standing, plans: tuple[Filled, ...]) -> None:
    """Start from plans that are known, give their crosscuts to the programme, and note the bound by area."""
    standing.raise_bound(least_cost(area_cut(standing.demand), standing.demand.offers) or 0)
    for filled in plans:
        standing.keep(filled)
        for roll in filled:
            for crosscut, _ in roll.crosscuts:
                standing.master.add(crosscut, standing.demand.offers[roll.offer].width)


def _too_little(*, proven: bool) -> ProblemError:
    if proven:
        message = "the rolls that may be used do not suffice for all mesh blanks; raise a limit or add a roll"
    else:
        message = (
            "no way was found to cut all mesh blanks from the rolls that may be used; "
            "raise a limit, add a roll or allow more time"
        )
    return ProblemError((ProblemFault(source="", message=message),))
