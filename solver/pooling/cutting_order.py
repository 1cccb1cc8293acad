"""The order of cutting: orders due first are finished first, with few orders open at once.

An order is open from its first rail cut to its last. To cut a plan with few
orders open is the minimisation of open stacks, which is hard in general; two
rules are tried, and the one with fewer open orders wins.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from solver.errors import ProblemError, ProblemFault
from solver.limits import Limits
from solver.parts.mesh_leftovers import mesh_leftovers
from solver.plan import Crosscut, CutRoll, Plan, RollGroup, StickGroup
from solver.pooling.belonging import Belonging
from solver.pooling.phases import Phased, one_by_one
from solver.problem import Problem
from solver.rules import Rules

_Stick = tuple[int, int]
"""Number of a group and place of a stick in it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class CuttingOrder:
    """A plan in cutting order, the sticks of all groups one after the other, and the orders open at most.

    ``sequence`` names sticks by profile, colour and their number in ``plan``;
    ``finished`` lists the orders as their last rail is cut.
    """

    plan: Plan
    sequence: tuple[tuple[str, str, int], ...]
    finished: tuple[str, ...]
    most_open: int


def in_cutting_order(
    problem: Problem,
    plan: Plan,
    due: Mapping[str, int] | None = None,
    by: Belonging = Belonging.ORDER,
    *,
    anew: bool = True,
) -> CuttingOrder:
    """Return a plan ordered so that orders are finished one after the other.

    The cuts stay the same, only their order and numbers change, so nothing
    costs more.

    Parameters
    ----------
    problem, plan
        The job.
    due
        Rank of an order, least first, such as its due date as a day number;
        orders without a rank come last. None: as they stand in the job.
    by
        What the openings are taken together by.
    anew
        Whether sticks, rolls and crosscuts are numbered in the new order. If not,
        each keeps its number, which may be on labels by now.

    Raises
    ------
    ProblemError
        If a rank is given to an order that the job has not.

    References
    ----------
    Yuen, "Heuristics for sequencing cutting patterns", European Journal of
    Operational Research 55 (1991): close the order that opens fewest others.
    """
    belongs = {opening.label: by.of(opening) for opening in problem.openings}
    _refuse_unknown(due or {}, belongs.values(), by)
    first = {order: place for place, order in enumerate(dict.fromkeys(belongs.values()))}
    last = max((due or {}).values(), default=0) + 1
    rank = {order: ((due or {}).get(order, last), place) for order, place in first.items()}
    orders_on = {
        (g, s): frozenset(belongs[rail.opening] for rail in stick.rails)
        for g, group in enumerate(plan.stick_groups)
        for s, stick in enumerate(group.sticks)
    }
    tried = [_by_rank(orders_on, rank), _few_open(orders_on, rank)]
    sequence, most = min(((each, _most_open(each, orders_on)) for each in tried), key=lambda pair: pair[1])
    numbers: dict[_Stick, int] = {}
    counts: Counter[int] = Counter()
    for g, s in sequence:
        counts[g] += 1
        numbers[g, s] = counts[g]
    shown = {(g, s): numbers[g, s] if anew else plan.stick_groups[g].sticks[s].number for g, s in sequence}
    stick_groups = tuple(_ordered(group, g, numbers, shown) for g, group in enumerate(plan.stick_groups))
    roll_groups = tuple(_mesh_in_order(group, belongs, rank, problem.rules, anew=anew) for group in plan.roll_groups)
    return CuttingOrder(
        plan=replace(plan, stick_groups=stick_groups, roll_groups=roll_groups),
        sequence=tuple((plan.stick_groups[g].profile, plan.stick_groups[g].colour, shown[g, s]) for g, s in sequence),
        finished=tuple(_finished(sequence, orders_on)),
        most_open=most,
    )


def within_open_orders(
    problem: Problem,
    plan: Plan,
    limits: Limits,
    most_open: int,
    due: Mapping[str, int] | None = None,
    by: Belonging = Belonging.ORDER,
    *,
    anew: bool = True,
) -> CuttingOrder | Phased:
    """Return the plan in an order that keeps few orders open, or plans for batches of so many orders.

    A batch is finished before the next begins, so no more than ``most_open``
    orders are ever open; what that costs beyond the joint plan stands in the
    answer.

    Raises
    ------
    ProblemError
        If a batch cannot be planned, or a rank is given to an order that the job has not.
    """
    ordered = in_cutting_order(problem, plan, due, by, anew=anew)
    if ordered.most_open <= most_open:
        return ordered
    orders = list(dict.fromkeys(by.of(opening) for opening in problem.openings))
    last = max((due or {}).values(), default=0) + 1
    orders.sort(key=lambda order: (due or {}).get(order, last))
    batch = {order: f"batch {place // max(1, most_open) + 1}" for place, order in enumerate(orders)}
    return one_by_one(problem, limits, lambda opening: batch[by.of(opening)], joint=plan)


def _by_rank(orders_on: Mapping[_Stick, frozenset[str]], rank: Mapping[str, tuple[int, int]]) -> list[_Stick]:
    """Finish the orders strictly by rank."""
    return sorted(orders_on, key=lambda stick: (sorted(rank[order] for order in orders_on[stick]), stick))


def _few_open(orders_on: Mapping[_Stick, frozenset[str]], rank: Mapping[str, tuple[int, int]]) -> list[_Stick]:
    """Close next the order whose remaining sticks open fewest others, the one due first of equals."""
    left: dict[str, set[_Stick]] = defaultdict(set)
    for stick, orders in orders_on.items():
        for order in orders:
            left[order].add(stick)
    begun: set[str] = set()
    sequence: list[_Stick] = []
    while left:
        news = {order: len({o for stick in sticks for o in orders_on[stick]} - begun) for order, sticks in left.items()}
        order = min(left, key=lambda order: (news[order], rank[order]))
        for stick in sorted(left[order], key=lambda stick: (len(orders_on[stick] - begun), stick)):
            sequence.append(stick)
            begun |= orders_on[stick]
            for other in orders_on[stick]:
                left[other].discard(stick)
        left = {order: sticks for order, sticks in left.items() if sticks}
    return sequence


def _most_open(sequence: Sequence[_Stick], orders_on: Mapping[_Stick, frozenset[str]]) -> int:
    left = Counter(chain.from_iterable(orders_on.values()))
    begun: set[str] = set()
    most = 0
    for stick in sequence:
        begun |= orders_on[stick]
        most = max(most, len(begun))
        left.subtract(orders_on[stick])
        begun = {order for order in begun if left[order]}
    return most


def _finished(sequence: Iterable[_Stick], orders_on: Mapping[_Stick, frozenset[str]]) -> Iterable[str]:
    left = Counter(chain.from_iterable(orders_on.values()))
    for stick in sequence:
        left.subtract(orders_on[stick])
        yield from sorted(order for order in orders_on[stick] if not left[order])


def _refuse_unknown(due: Mapping[str, int], known: Iterable[str], by: Belonging) -> None:
    there = sorted(set(known) - {""})
    named = ", ".join(order or "no name" for order in there[:20]) + (" ..." if len(there) > 20 else "")
    faults = [
        ProblemFault(source="", message=f"due: the job has no {by.value} {order}; it has {named or 'none with a name'}")
        for order in due
        if order not in there
    ]
    if faults:
        raise ProblemError(tuple(faults))


def _ordered(group: StickGroup, g: int, numbers: Mapping[_Stick, int], shown: Mapping[_Stick, int]) -> StickGroup:
    places = sorted(range(len(group.sticks)), key=lambda place: numbers[g, place])
    return replace(group, sticks=tuple(replace(group.sticks[place], number=shown[g, place]) for place in places))


def _mesh_in_order(
    group: RollGroup, belongs: Mapping[str, str], rank: Mapping[str, tuple[int, int]], rules: Rules, *, anew: bool
) -> RollGroup:
    """Return the crosscuts of each roll, and the rolls, in the order in which their first order is due."""

    def due(cut: Crosscut) -> list[tuple[int, int]]:
        return sorted({rank[belongs[blank.opening]] for strip in cut.strips for blank in strip.blanks})

    rolls = [replace(roll, crosscuts=tuple(sorted(roll.crosscuts, key=due))) for roll in group.rolls]
    rolls.sort(key=_first(due))
    if not anew:
        return replace(group, rolls=tuple(rolls))
    number = 0
    numbered: list[CutRoll] = []
    for place, roll in enumerate(rolls, start=1):
        crosscuts = []
        for cut in roll.crosscuts:
            number += 1
            crosscuts.append(replace(cut, number=number))
        numbered.append(replace(roll, number=place, crosscuts=tuple(crosscuts)))
    leftovers = tuple(chain.from_iterable(mesh_leftovers(roll, rules) for roll in numbered))
    return replace(group, rolls=tuple(numbered), leftovers=leftovers)


def _first(due: Callable[[Crosscut], list[tuple[int, int]]]) -> Callable[[CutRoll], list[tuple[int, int]]]:
    return lambda roll: due(roll.crosscuts[0])
