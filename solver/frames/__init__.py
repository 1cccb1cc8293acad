"""From an opening to its frame: which reading counts, what is taken off, which profile fits the slot.

What sizing builds on and the survey checks, so that both mean the same frame.
"""

from solver.frames.shelf import Shelf, over_review_size
from solver.frames.sides import FrameSide, frame_side, readings_words
from solver.frames.words import Words

__all__ = ["FrameSide", "Shelf", "Words", "frame_side", "over_review_size", "readings_words"]
