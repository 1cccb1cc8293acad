"""A budget before anybody has measured: rough sizes and counts in, a range of money out."""

from solver.estimate.estimate import Estimate, Roughness, estimate

__all__ = ["Estimate", "Roughness", "estimate"]
