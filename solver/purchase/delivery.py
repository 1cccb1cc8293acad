"""Delivery charges: once for every supplier from whom anything is bought."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solver.catalogue import Supplier
from solver.plan import PurchaseLine


def delivery_lines(suppliers: Iterable[Supplier], lines: Iterable[PurchaseLine]) -> Iterator[PurchaseLine]:
    """Yield one line for each supplier who charges for delivery and sells something."""
    sells = {line.supplier for line in lines if line.buy}
    for supplier in suppliers:
        if supplier.delivery and supplier.name in sells:
            yield PurchaseLine(
                stock="",
                what=f"delivery by {supplier.name}",
                size=1,
                by_length=False,
                need=1,
                on_hand=0,
                buy=1,
                price=supplier.delivery,
                cost=supplier.delivery,
                left=0,
                supplier=supplier.name,
                why="charged once for everything bought there",
            )
