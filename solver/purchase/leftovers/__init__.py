"""What else the leftovers of a plan would make."""

from solver.purchase.leftovers.still import still_possible

__all__ = ["still_possible"]
