"""From an opening to its frame: which reading counts, what is taken off, which profile fits the slot.

What sizing builds on and the survey checks, so that both mean the same frame.
"""

from solver.frames.insertion import SPRUNG, needed_depth
from solver.frames.shelf import Shelf, over_review_size
from solver.frames.sides import FrameSide, counting_reading, frame_side, frame_size, readings_words
from solver.frames.words import Words

__all__ = [
    "SPRUNG",
    "FrameSide",
    "Shelf",
    "Words",
    "counting_reading",
    "frame_side",
    "frame_size",
    "needed_depth",
    "over_review_size",
    "readings_words",
]
