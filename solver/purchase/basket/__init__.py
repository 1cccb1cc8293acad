"""One joint buying decision: sticks, rolls, packs and kits that must be chosen together.

A basket ties together the groups and the hardware that kits, delivery charges
and least numbers concern; everything else keeps its own way.
"""

from solver.purchase.basket.answer import basket_group
from solver.purchase.basket.coupling import coupled

__all__ = ["basket_group", "coupled"]
