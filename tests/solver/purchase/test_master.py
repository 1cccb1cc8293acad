"""The cheapest purchase that nothing rules out, on markets one can buy from in the head."""

from __future__ import annotations

from typing import Any

from solver.limits import Limits
from solver.purchase.basket.master import Master
from solver.purchase.basket.model import Article, Choice, Condition, Cover, Cut, Floor, Market, Way
from solver.sticks.effort import Effort


def article(*prices: tuple[int, int], **other: Any) -> Article:
    """Something sold in these sizes at these prices, up to nine of it, that gives resource 0."""
    words: dict[str, Any] = {"name": "stick", "most": 9, "gives": ((0, 1),), "group": 0}
    return Article(ways=tuple(Way(size=size, price=price) for size, price in prices), **(words | other))


def master(*articles: Article, **other: Any) -> Master:
    words: dict[str, Any] = {"deliveries": (), "on_hand": (0,), "covers": ()}
    return Master(Market(articles=articles, **(words | other)), Effort(Limits()))


def cheapest(asked: Master, below: int | None = None) -> Choice | None:
    return asked.cheapest(below=below, least=0, work=1_000)


def needing(amount: int) -> Cut:
    return Cut(room=((0, 1),), need=amount)


def test_nothing_is_bought_where_nothing_is_known_to_be_needed() -> None:
    choice = cheapest(master(article((1, 5))))
    assert choice == Choice(bought=(0,), delivers=(), cost=0, bound=0)


def test_a_cut_must_be_met() -> None:
    asked = master(article((1, 5)))
    asked.learn(needing(3))
    choice = cheapest(asked)
    assert choice is not None
    assert (choice.bought, choice.cost, choice.bound) == ((3,), 15, 15)


def test_what_is_on_hand_counts() -> None:
    asked = master(article((1, 5)), on_hand=(2,))
    asked.learn(needing(3))
    choice = cheapest(asked)
    assert choice is not None
    assert choice.cost == 5


def test_a_bundle_may_hold_more_than_is_of_use() -> None:
    asked = master(article((1, 5), (10, 20), most=5))
    asked.learn(needing(5))
    choice = cheapest(asked)
    assert choice is not None
    assert choice.cost == 20


def test_a_bundle_counts_against_the_limit() -> None:
    asked = master(article((1, 5), (10, 20), most=5, limit=9))
    asked.learn(needing(5))
    choice = cheapest(asked)
    assert choice is not None
    assert choice.cost == 25


def test_a_least_number_is_paid() -> None:
    asked = master(article((1, 5), minimum=4))
    asked.learn(needing(1))
    choice = cheapest(asked)
    assert choice is not None
    assert choice.cost == 20


def test_a_delivery_is_paid_once_and_only_where_something_is_bought() -> None:
    near, far = article((1, 5)), article((1, 2), supplier=0)
    for need, cost in ((3, 15), (7, 24)):
        asked = master(near, far, deliveries=(10,))
        asked.learn(needing(need))
        choice = cheapest(asked)
        assert choice is not None
        assert (choice.cost, choice.delivers) == (cost, (need == 7,))


def test_more_than_can_be_had_is_no_purchase() -> None:
    asked = master(article((1, 5), limit=2))
    asked.learn(needing(3))
    assert cheapest(asked) is None


def test_only_cheaper_purchases_are_sought() -> None:
    asked = master(article((1, 5)))
    asked.learn(needing(3))
    assert cheapest(asked, below=15) is None
    assert cheapest(asked, below=16) is not None


def test_hardware_that_fits_everything_serves_what_specific_packs_leave() -> None:
    specific = article((1, 5), gives=((0, 4),), group=None, limit=1)
    universal = article((1, 7), gives=((1, 4),), group=None)
    asked = master(specific, universal, on_hand=(0, 0), covers=(Cover(needs=((0, 6),), anything=1),))
    choice = cheapest(asked)
    assert choice is not None
    assert (choice.bought, choice.cost) == ((1, 1), 12)


def test_a_floor_holds_until_more_kits_are_bought() -> None:
    # Loose sticks cost 10 or more with no more than one kit at 12.
    loose, kit = article((1, 5)), article((1, 12), group=None)
    asked = master(loose, kit)
    asked.learn(Floor(group=0, cost=10, unless=((Condition.MORE, 1, 1),)))
    choice = cheapest(asked)
    assert choice is not None
    assert (choice.bought, choice.cost) == ((2, 0), 10)
    asked.learn(Floor(group=0, cost=15, unless=((Condition.MORE, 1, 1),)))
    choice = cheapest(asked)
    assert choice is not None
    assert (choice.bought, choice.cost) == ((0, 1), 12)


def test_a_floor_lets_go_where_a_supplier_delivers() -> None:
    asked = master(article((1, 50)), deliveries=(7,))
    asked.learn(Floor(group=0, cost=50, unless=((Condition.DELIVERED, 0, 1),)))
    choice = cheapest(asked)
    assert choice is not None
    assert (choice.cost, choice.delivers) == (7, (True,))


def test_a_floor_counts_what_is_paid_beyond_a_least_number() -> None:
    # Two are paid as the least number; loose stock worth 10 beyond them is two more.
    asked = master(article((1, 5), minimum=2, prepaid=10))
    asked.learn(needing(1))
    asked.learn(Floor(group=0, cost=10, unless=()))
    choice = cheapest(asked)
    assert choice is not None
    assert choice.cost == 20


def test_a_floor_leaves_out_what_is_given() -> None:
    running, sticks = article((1, 5)), article((1, 3), gives=())
    asked = master(running, sticks)
    asked.learn(Floor(group=0, cost=6, unless=((Condition.MORE, 0, 5),), given=frozenset([0])))
    choice = cheapest(asked)
    assert choice is not None
    assert (choice.bought, choice.cost) == ((0, 2), 6)


def test_a_given_number_of_kits_is_bought_and_no_more_suppliers_deliver() -> None:
    kit, far = article((1, 12), group=None), article((1, 2), supplier=0)
    asked = master(kit, far, deliveries=(1,))
    asked.learn(needing(2))
    choice = asked.within((2,), (0,), (False,))
    assert choice is not None
    assert (choice.bought, choice.cost) == ((2, 0), 24)
    assert asked.within((1,), (0,), (False,)) is None
    sure = asked.within((0,), (0,), (True,), {0})
    assert sure is not None
    assert sure.cost == 5
