"""Between the master and the groups: what a choice gives a group, and what a group's bound says of other choices."""

from __future__ import annotations

from dataclasses import dataclass

from solver.purchase.basket.market import Trade
from solver.purchase.basket.model import Article, Choice, Condition, Floor
from solver.purchase.basket.side import Terms


@dataclass(frozen=True, kw_only=True, slots=True)
class Setting:
    """What the groups take as given: kits bought, articles of a least number bought at all, suppliers that deliver.

    ``kits`` runs in step with the trade's kits, ``used`` names article numbers.
    ``given`` are articles that stand apart with the number bought, where that is
    fixed too; pairs (article, number).
    """

    kits: tuple[int, ...]
    used: frozenset[int]
    delivers: tuple[bool, ...]
    given: tuple[tuple[int, int], ...] = ()


def setting_of(trade: Trade, choice: Choice) -> Setting:
    """Return what a choice fixes for the groups."""
    articles = trade.market.articles
    return Setting(
        kits=tuple(choice.bought[article] for article in trade.kits),
        used=frozenset(n for n, article in enumerate(articles) if article.minimum > 1 and choice.bought[n]),
        delivers=choice.delivers,
    )


def terms_of(trade: Trade, group: int, setting: Setting) -> Terms:
    """Return what a group is given for nothing, and what it may buy, at a setting."""
    market = trade.market
    side = trade.sides[group]
    free = {resource: market.on_hand[resource] for resource in side.resources}
    for kits, kit in zip(setting.kits, trade.kits, strict=True):
        for resource, amount in market.articles[kit].gives:
            if resource in free:
                free[resource] += amount * kits
    given = dict(setting.given)
    sold = [False] * len(side.resources)
    for place, resource in enumerate(side.resources):
        number = trade.loose.get((group, place))
        if number in given:
            free[resource] += given[number]
        elif number is not None:
            article = market.articles[number]
            used = article.minimum == 1 or number in setting.used
            sold[place] = used and _delivered(article, setting)
    return Terms(free=tuple(free[resource] for resource in side.resources), sold=tuple(sold))


def _delivered(article: Article, setting: Setting) -> bool:
    return article.supplier is None or setting.delivers[article.supplier]


def floor_of(trade: Trade, group: int, setting: Setting, bound: int) -> Floor:
    """Return what a group's bound at a setting says about every setting with no more in it.

    More kits, another article or another supplier could only make the group's
    loose stock cheaper, so with no more of any the bound holds as well.
    """
    articles = trade.market.articles
    resources = set(trade.sides[group].resources)
    unless = [
        (Condition.MORE, number, kits + 1)
        for kits, number in zip(setting.kits, trade.kits, strict=True)
        if resources & {resource for resource, _ in articles[number].gives}
    ]
    closed = set()
    given = dict(setting.given)
    for number, article in enumerate(articles):
        if article.group != group:
            continue
        if number in given:
            unless.append((Condition.MORE, number, given[number] + 1))
        elif article.minimum > 1 and number not in setting.used:
            unless.append((Condition.USED, number, 1))
        if not _delivered(article, setting) and article.supplier is not None:
            closed.add(article.supplier)
    unless += [(Condition.DELIVERED, supplier, 1) for supplier in sorted(closed)]
    own = frozenset(number for number in given if articles[number].group == group)
    return Floor(group=group, cost=bound, unless=tuple(unless), given=own)
