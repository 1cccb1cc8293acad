"""What a chain has cost is the sum of its purchase lists less what did not come, and is shared to the cent."""

from __future__ import annotations

from dataclasses import replace

from solver.events import Added, RailMissing, ShortDelivery
from solver.lengths import inches
from solver.plan import Place
from solver.pooling import cost_shares
from solver.revision import Revision, chain_purchases, with_all_bought
from tests.builders import opening, problem, stick
from tests.solver.revision.chain import after, first


def paid(revision: Revision) -> list[tuple[int, int, int]]:
    purchases = chain_purchases(revision)
    assert purchases is not None
    return [(each.revision, each.listed, each.off) for each in purchases]


def test_a_first_plan_has_bought_its_list() -> None:
    plan = first(problem(opening(order="1")))
    assert plan.plan.total
    assert paid(plan) == [(0, plan.plan.total, 0)]


def test_every_revision_adds_what_it_buys() -> None:
    plan = first(problem(opening(order="1")))
    now = after(plan, Added(opening=opening("later", order="2")))
    then = after(now)
    assert paid(then) == [(0, plan.plan.total, 0), (1, now.plan.total, 0), (2, 0, 0)]


def test_what_did_not_come_is_not_paid_and_is_bought_again() -> None:
    # Two sticks of 96 in at 8.00 for one window; one does not come.
    plan = first(problem(opening(order="1"), sticks=(stick("8 ft", inches(96), 800),)))
    now = after(plan, ShortDelivery(stock="8 ft", missing=1))
    assert paid(now)[0] == (0, plan.plan.total, 800)
    assert now.plan.total == 800
    assert sum(listed - off for _, listed, off in paid(now)) == plan.plan.total


def test_the_money_of_the_chain_is_shared_out_to_the_cent() -> None:
    plan = first(problem(opening("A", order="1"), opening("B", order="2")))
    now = after(plan, ShortDelivery(stock="8 ft", missing=1), RailMissing(opening="A", copy=1, place=Place.LEFT))
    whole = with_all_bought(now)
    assert whole is not None
    shares = cost_shares(now.problem, whole)
    assert [share.order for share in shares] == ["1", "2"]
    assert sum(share.total for share in shares) == whole.total == sum(listed - off for _, listed, off in paid(now))


def test_what_an_older_file_does_not_say_is_not_guessed() -> None:
    plan = replace(first(problem(opening(order="1"))), number=3, bought_before=None)
    now = after(plan)
    assert chain_purchases(now) is None
    assert with_all_bought(now) is None
