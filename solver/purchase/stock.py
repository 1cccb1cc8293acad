"""Purchase lines for sticks and rolls, read off the cuts."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator

from solver.catalogue import RollStock, StickStock
from solver.money import Cents
from solver.plan import CutRoll, PurchaseLine, RollGroup, StickGroup
from solver.problem import Problem


def bundles_to_buy(count: int, stick: StickStock) -> int:
    """Return how many bundles buy ``count`` sticks at least money; the rest are single sticks.

    The last bundle may hold more sticks than are needed where that is cheaper
    and the limit allows it.
    """
    if stick.bundle is None or stick.bundle_price is None or stick.price is None:
        return 0
    def money(bundles: int) -> int:
        return bundles * bundle_price + max(0, count - bundles * size) * price

    size, bundle_price, price = stick.bundle, stick.bundle_price, stick.price
    most = -(-count // size)
    if stick.limit is not None:
        most = min(most, max(stick.limit // size, count // size))
    return min(range(most + 1), key=lambda bundles: (money(bundles), bundles))


def stick_lines(problem: Problem, groups: Iterable[StickGroup]) -> Iterator[PurchaseLine]:
    """Yield the purchase lines for sticks in the order of the stock list."""
    bought: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    for group in groups:
        for stick in group.sticks:
            (bought if stick.bought else taken)[stick.stock] += 1
    for stock in problem.catalogue.sticks:
        if not bought[stock.name] and not taken[stock.name]:
            continue
        yield from _stick_lines(stock, bought[stock.name], taken[stock.name])


def _stick_lines(stock: StickStock, count: int, taken: int) -> Iterator[PurchaseLine]:
    bundles = bundles_to_buy(count, stock)
    in_bundles = bundles * (stock.bundle or 0)
    singles = max(0, count - in_bundles)
    what = f"stick {stock.profile} {stock.colour}".strip()
    split = f" ({bundles} x {stock.bundle} in bundles, {singles} single)" if bundles else ""
    rack = f"{taken} on hand" if taken else ""
    buys = f"{count} to buy{split}" if count else ""
    why = f"{count + taken} cut: {' + '.join(text for text in (rack, buys) if text)}"
    if singles or taken:
        yield PurchaseLine(
            stock=stock.name,
            what=what,
            size=1,
            by_length=False,
            need=singles + taken,
            on_hand=taken,
            buy=singles,
            price=stock.price,
            cost=None if stock.price is None else Cents(stock.price * singles),
            left=0,
            supplier=stock.supplier,
            why=why,
        )
    if bundles:
        yield PurchaseLine(
            stock=stock.name,
            what=f"{what}, bundle of {stock.bundle}",
            size=stock.bundle or 1,
            by_length=False,
            need=min(count, in_bundles),
            on_hand=0,
            buy=bundles,
            price=stock.bundle_price,
            cost=Cents((stock.bundle_price or 0) * bundles),
            left=max(0, in_bundles - count),
            supplier=stock.supplier,
            why=why,
        )


def roll_lines(problem: Problem, groups: Iterable[RollGroup]) -> Iterator[PurchaseLine]:
    """Yield the purchase lines for mesh in the order of the stock list."""
    bought: dict[str, list[CutRoll]] = defaultdict(list)
    taken: Counter[str] = Counter()
    for group in groups:
        for roll in group.rolls:
            if roll.bought:
                bought[roll.stock].append(roll)
            else:
                taken[roll.stock] += 1
    for stock in problem.catalogue.rolls:
        rolls = bought[stock.name]
        if stock.step is not None:
            if rolls:
                yield _running_line(stock, sum(roll.used for roll in rolls))
        elif rolls or taken[stock.name]:
            yield _roll_line(stock, len(rolls), taken[stock.name])


def _roll_line(stock: RollStock, count: int, taken: int) -> PurchaseLine:
    rack = f"{taken} on hand" if taken else ""
    buys = f"{count} to buy" if count else ""
    return PurchaseLine(
        stock=stock.name,
        what=f"roll {stock.mesh}",
        size=1,
        by_length=False,
        need=count + taken,
        on_hand=taken,
        buy=count,
        price=stock.price,
        cost=None if stock.price is None else Cents(stock.price * count),
        left=0,
        supplier=stock.supplier,
        why=f"{count + taken} cut into: {' + '.join(text for text in (rack, buys) if text)}",
    )


def _running_line(stock: RollStock, used: int) -> PurchaseLine:
    step = stock.step or 1
    steps = -(-used // step)
    return PurchaseLine(
        stock=stock.name,
        what=f"running length {stock.mesh}",
        size=step,
        by_length=True,
        need=used,
        on_hand=0,
        buy=steps,
        price=stock.price,
        cost=None if stock.price is None else Cents(stock.price * steps),
        left=steps * step - used,
        supplier=stock.supplier,
        why="every crosscut of this width added up and rounded up to the step it is sold by",
    )
