"""Cutting stock: rails of one profile and colour assigned to stick lengths."""

from solver.sticks.cut import cut

__all__ = ["cut"]
