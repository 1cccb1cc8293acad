"""Plan again after something happened: what is cut stays, and only the rest is solved anew.

:func:`replan` takes a revision and events and returns the next revision with
the difference; :func:`candidates` finds the piece that lost its label.
"""

from solver.revision.candidates import candidates
from solver.revision.chain_money import chain_purchases, with_all_bought
from solver.revision.record import (
    Candidate,
    ChainPurchase,
    CutChange,
    Difference,
    Reprint,
    Revision,
    SpareMesh,
    SpareStick,
)
from solver.revision.replan import replan

__all__ = [
    "Candidate",
    "ChainPurchase",
    "CutChange",
    "Difference",
    "Reprint",
    "Revision",
    "SpareMesh",
    "SpareStick",
    "candidates",
    "chain_purchases",
    "replan",
    "with_all_bought",
]
