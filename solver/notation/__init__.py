"""Lengths as people write them, read exactly: fine, doubtful with a proposal, or refused.

>>> read_length("27 5/8", unit="in")
Understood(length=224536, note='')
>>> read_length("27 9/8", unit="in").proposal
'28 1/8'
"""

from solver.notation.answers import Doubt, Doubtful, Refused, Result, Understood
from solver.notation.numbers import Comma, read_number
from solver.notation.text import read_length

__all__ = ["Comma", "Doubt", "Doubtful", "Refused", "Result", "Understood", "read_length", "read_number"]
