"""Purchase lines for sticks and rolls, read off the cuts."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator

from solver.catalogue import RollStock, StickStock
from solver.money import Cents
from solver.plan import CutRoll, PurchaseLine, RollGroup, StickGroup
from solver.problem import Problem
from solver.purchase.quantity import Quantity, cheapest_quantity


def sticks_to_buy(count: int, stick: StickStock) -> Quantity:
    """Return the bundles and single sticks that come to ``count`` or more at least money.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> offer = StickStock(name="8 ft", profile="5/16", colour="white", length=inches(96), price=Cents(800),
    ...                    bundle=10, bundle_price=Cents(6_000))
    >>> sticks_to_buy(8, offer)
    Quantity(bundles=1, singles=0, cost=6000)
    """
    bundle = None
    if stick.bundle is not None and stick.bundle_price is not None:
        bundle = (stick.bundle, stick.bundle_price)
    return cheapest_quantity(count, price=stick.price or 0, bundle=bundle, minimum=stick.minimum, limit=stick.limit)


def stick_lines(problem: Problem, groups: Iterable[StickGroup]) -> Iterator[PurchaseLine]:
    """Yield the purchase lines for sticks in the order of the stock list."""
    bought: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    rails: Counter[str] = Counter()
    for group in groups:
        for stick in group.sticks:
            if not stick.from_kit:
                (bought if stick.bought else taken)[stick.stock] += 1
                rails[stick.stock] += len(stick.rails)
    for stock in problem.catalogue.sticks:
        if not bought[stock.name] and not taken[stock.name]:
            continue
        yield from _stick_lines(stock, bought[stock.name], taken[stock.name], rails[stock.name])


def _counted(number: int, what: str) -> str:
    return f"{number:,} {what}{'s' * (number != 1)}"


def _stick_lines(stock: StickStock, count: int, taken: int, rails: int) -> Iterator[PurchaseLine]:
    quantity = sticks_to_buy(count, stock)
    in_bundles = min(count, quantity.bundles * (stock.bundle or 0))
    what = f"stick {stock.profile} {stock.colour}".strip()
    split = f" ({quantity.bundles} x {stock.bundle} in bundles, {quantity.singles} single)" if quantity.bundles else ""
    rack = f"{taken} on hand" if taken else ""
    bought = quantity.bundles * (stock.bundle or 0) + quantity.singles
    least = f", the least number sold is {stock.minimum}" if bought > count and bought == stock.minimum else ""
    buys = f"{bought} to buy{split}{least}" if count else ""
    sources = " + ".join(text for text in (rack, buys) if text)
    why = f"{_counted(count + taken, 'stick')} cut into {_counted(rails, 'rail')}: {sources}"
    if quantity.singles or taken:
        yield PurchaseLine(
            stock=stock.name,
            what=what,
            size=1,
            by_length=False,
            need=count - in_bundles + taken,
            on_hand=taken,
            buy=quantity.singles,
            price=stock.price,
            cost=None if stock.price is None else Cents(stock.price * quantity.singles),
            left=quantity.singles - (count - in_bundles),
            supplier=stock.supplier,
            why=why,
        )
    if quantity.bundles:
        yield PurchaseLine(
            stock=stock.name,
            what=f"{what}, bundle of {stock.bundle}",
            size=stock.bundle or 1,
            by_length=False,
            need=in_bundles,
            on_hand=0,
            buy=quantity.bundles,
            price=stock.bundle_price,
            cost=Cents((stock.bundle_price or 0) * quantity.bundles),
            left=quantity.bundles * (stock.bundle or 0) - in_bundles,
            supplier=stock.supplier,
            why=why,
        )


def roll_lines(problem: Problem, groups: Iterable[RollGroup]) -> Iterator[PurchaseLine]:
    """Yield the purchase lines for mesh in the order of the stock list."""
    bought: dict[str, list[CutRoll]] = defaultdict(list)
    taken: Counter[str] = Counter()
    blanks: Counter[str] = Counter()
    for group in groups:
        for roll in group.rolls:
            if roll.from_kit:
                continue
            blanks[roll.stock] += sum(len(strip.blanks) for cut in roll.crosscuts for strip in cut.strips)
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
            yield _roll_line(stock, len(rolls), taken[stock.name], blanks[stock.name])


def _roll_line(stock: RollStock, count: int, taken: int, blanks: int) -> PurchaseLine:
    bought = max(count, stock.minimum) if count else 0
    rack = f"{taken} on hand" if taken else ""
    least = f", the least number sold is {stock.minimum}" if bought > count else ""
    buys = f"{bought} to buy{least}" if count else ""
    sources = " + ".join(text for text in (rack, buys) if text)
    return PurchaseLine(
        stock=stock.name,
        what=f"roll {stock.mesh}",
        size=1,
        by_length=False,
        need=count + taken,
        on_hand=taken,
        buy=bought,
        price=stock.price,
        cost=None if stock.price is None else Cents(stock.price * bought),
        left=bought - count,
        supplier=stock.supplier,
        why=f"{_counted(count + taken, 'roll')} cut into {_counted(blanks, 'blank')}: {sources}",
    )


def _running_line(stock: RollStock, used: int) -> PurchaseLine:
    step = stock.step or 1
    steps = max(-(-used // step), stock.minimum)
    least = f"; the least number of steps sold is {stock.minimum}" if steps * step >= used + step else ""
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
        why=f"every crosscut of this width added up and rounded up to the step it is sold by{least}",
    )
