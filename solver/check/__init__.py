"""Recount a plan from its problem alone; shares no code with what made the plan.

Each file recounts one side of a plan and names every broken rule with its
amount. Formulas are written out again here on purpose: a slip in the planner
must not hide behind the same slip in the checker.
"""

from solver.check.fault import Fault
from solver.check.pinned import pinned_faults
from solver.check.whole import faults

__all__ = ["Fault", "faults", "pinned_faults"]
