"""Guillotine nesting of mesh blanks on rolls: numbers in, plan and proof out."""

from solver.rolls.by_hand import by_hand
from solver.rolls.nest import nest

__all__ = ["by_hand", "nest"]
