"""Many orders in one plan: what each pays, in which order they are cut, and whether to plan them together."""

from solver.pooling.belonging import Belonging
from solver.pooling.cutting_order import CuttingOrder, in_cutting_order, within_open_orders
from solver.pooling.phases import Phase, Phased, one_by_one
from solver.pooling.shares import OrderShare, cost_shares, largest_remainder

__all__ = [
    "Belonging",
    "CuttingOrder",
    "OrderShare",
    "Phase",
    "Phased",
    "cost_shares",
    "in_cutting_order",
    "largest_remainder",
    "one_by_one",
    "within_open_orders",
]
