"""Cutting stock: rails of one profile and colour assigned to stick lengths."""

from solver.sticks.by_hand import by_hand
from solver.sticks.cut import cut
from solver.sticks.leftovers import cut_valuing_leftovers
from solver.sticks.ties import Ties

__all__ = ["Ties", "by_hand", "cut", "cut_valuing_leftovers"]
