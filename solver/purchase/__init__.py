"""What to buy: packs that cover the hardware, and one purchase list for the whole plan."""

from solver.purchase.total import Purchases, purchases

__all__ = ["Purchases", "purchases"]
