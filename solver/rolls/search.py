"""The search: first plan and bound, then the way that suits the rolls on offer."""

from __future__ import annotations

from solver.errors import ProblemError, ProblemFault
from solver.limits import Ending, Limits
from solver.rolls.buying import Buying
from solver.rolls.by_hand import hand_plans
from solver.rolls.demand import Demand
from solver.rolls.model import NestingPlan
from solver.rolls.running import search_running
from solver.rolls.standing import Standing
from solver.rolls.written import written


def searched_plan(demand: Demand, limits: Limits) -> NestingPlan:
    """Search until the plan is proven or a limit is hit, and return the best plan.

    Raises
    ------
    ProblemError
        If no plan was found; the message says so plainly where it is proven that there is none.
    """
    standing = Standing(demand, limits)
    _start_from_shelves(standing)
    standing.master.buy()
    standing.learn_cut()
    possible = True
    if not standing.done:
        if all(offer.running or offer.cost == 0 for offer in demand.offers) and any(o.running for o in demand.offers):
            search_running(standing)
        if not standing.done:
            possible = Buying(standing).search()
    if standing.best is None or standing.cost is None:
        raise _too_little(proven=not possible)
    ending = Ending.PROVEN if standing.proven else standing.effort.ending or Ending.EXHAUSTED
    return NestingPlan(
        rolls=written(demand, standing.best),
        cost=standing.cost,
        bound=min(standing.bound, standing.cost),
        ending=ending,
        work=standing.effort.work,
    )


def _start_from_shelves(standing: Standing) -> None:
    """Start from what a careful shop would do, and give its crosscuts to the programme."""
    for filled in hand_plans(standing.demand):
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
