"""Where the numbers of a joint purchase are gathered: resources, articles, and what each kit gives."""

from __future__ import annotations

from solver.catalogue import Kit
from solver.parts.record import BasketPart
from solver.purchase.basket.model import Article, Way


class Stall:
    """Collects resources and articles of one basket.

    Attributes
    ----------
    on_hand
        What is on hand of each resource.
    articles
        Everything on sale so far.
    """

    def __init__(self, part: BasketPart) -> None:
        self.on_hand: list[int] = []
        self.articles: list[Article] = []
        self._gives: dict[str, list[tuple[int, int]]] = {kit.name: [] for kit in part.kits}
        self._most: dict[str, int] = {kit.name: 0 for kit in part.kits}
        self._suppliers = {supplier.name: number for number, supplier in enumerate(part.suppliers)}

    def resource(self, on_hand: int = 0) -> int:
        """Add a resource and return its number."""
        self.on_hand.append(on_hand)
        return len(self.on_hand) - 1

    def supplier(self, name: str) -> int | None:
        """Return the number of a supplier that charges for delivery, None for any other."""
        return self._suppliers.get(name)

    def sell(self, article: Article) -> int:
        """Add an article and return its number."""
        self.articles.append(article)
        return len(self.articles) - 1

    def kit_gives(self, kit: Kit, resource: int, amount: int, enough: int) -> None:
        """Note that a kit holds ``amount`` of a resource, of which no more than ``enough`` are ever of use."""
        self._gives[kit.name].append((resource, amount))
        self._most[kit.name] = max(self._most[kit.name], -(-enough // amount))

    def sell_kit(self, kit: Kit) -> int:
        """Add a kit with all it was noted to give, and return its article number."""
        return self.sell(
            Article(
                name=kit.name,
                ways=(Way(size=1, price=kit.price or 0),),
                most=self._most[kit.name],
                limit=kit.limit,
                minimum=kit.minimum,
                supplier=self.supplier(kit.supplier),
                gives=tuple(self._gives[kit.name]),
            )
        )
