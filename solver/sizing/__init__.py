"""Opening to frame to rails, cross bars, mesh blank, spline and hardware, each with its arithmetic."""

from solver.sizing.sized import Sizing, sized

__all__ = ["Sizing", "sized"]
