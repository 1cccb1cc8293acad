"""Shop rules: every figure of the trade that differs by region or hardware, with its default.

Each field carries in its metadata what it is (``what``), for the rules sheet and
the documents. Sources: common practice, no source, unless ``source`` says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from enum import Enum
from typing import Any

from solver.errors import RecordError
from solver.lengths import Ticks, inches


class Turning(Enum):
    """Whether a mesh blank may be cut with its height across the roll."""

    FREE = "may turn"
    NEVER = "never turn"


def _rule(default: Any, what: str) -> Any:
    return field(default=default, metadata={"what": what})


@dataclass(frozen=True, kw_only=True, slots=True)
class Rules:
    """The figures a shop works by. Lengths in ticks, shares in per mille.

    A row may replace any of them for its own opening.
    """

    # Opening to frame
    bottoms_clearance: Ticks = _rule(inches(0, 1, 8), "taken off a reading from channel bottom to channel bottom")
    lip_overlap: Ticks = _rule(inches(0, 1, 8), "added for each side to a clear reading between channel lips")
    deep_clearance: Ticks = _rule(inches(0, 1, 8), "taken off a reading from the deep channel to the opposite lip edge")
    face_overlap: Ticks = _rule(inches(0, 3, 8), "added for each side to an opening screened from outside on its face")
    stops_clearance: Ticks = _rule(inches(0, 1, 8), "taken off a reading from stop to stop")
    size_step: Ticks = _rule(inches(0, 1, 16), "frame sizes are rounded to this step, down in a channel, up on a face")
    slot_play: Ticks = _rule(inches(0, 1, 32), "least play between profile thickness and channel slot")
    leaf_depth: Ticks = _rule(inches(0, 1, 16), "depth a compressed leaf spring takes in the deep channel")
    # Frame to pieces
    bar_above: Ticks = _rule(inches(48), "a frame whose longer side is over this gets a cross bar")
    blank_allowance: Ticks = _rule(inches(1), "mesh beyond the outside of the frame, each side")
    spline_extra: int = _rule(50, "spline cut longer than the frame's outline, per mille")
    # Hardware
    third_spring_above: Ticks = _rule(inches(48), "a spring side over this gets three springs instead of two")
    clip_spacing: Ticks = _rule(inches(20), "greatest distance between face clips along the frame")
    pins: int = _rule(4, "plunger pins for one screen")
    hardware_spares: int = _rule(0, "hardware bought beyond the need, per mille, rounded up")
    # Saw
    kerf: Ticks = _rule(inches(0, 1, 8), "width of the saw cut, measured square to the blade")
    end_trim: Ticks = _rule(inches(0, 1, 4), "cut off each damaged end of a bought stick, saw cut included")
    useful_offcut: Ticks = _rule(inches(12), "shortest rail offcut worth keeping")
    # Cutting table
    selvage_trim: Ticks = _rule(inches(0, 1, 4), "cut off each edge of a roll")
    crosscut_extra: Ticks = _rule(Ticks(0), "mesh lost at every crosscut")
    longest_crosscut: Ticks = _rule(Ticks(0), "longest crosscut the table takes; 0 for no limit")
    useful_mesh_width: Ticks = _rule(inches(18), "narrowest mesh leftover worth keeping")
    useful_mesh_length: Ticks = _rule(inches(24), "shortest mesh leftover worth keeping")
    # Readings
    spread_warning: Ticks = _rule(inches(0, 1, 4), "readings of one side that differ by more are reported")
    spread_limit: Ticks = _rule(inches(0, 1, 2), "readings of one side that differ by more stop the row")
    square_warning: Ticks = _rule(inches(0, 1, 8), "diagonals that differ by this much are reported")
    square_review: Ticks = _rule(inches(0, 1, 4), "diagonals that differ by this much call for a review")
    # Where the job is
    jurisdiction: str = _rule("", "building code that applies, with its edition; only quoted, never judged")

    def __post_init__(self) -> None:
        """Refuse a rule that no shop can work by."""
        for rule in fields(self):
            value = getattr(self, rule.name)
            if isinstance(value, int) and value < 0:
                raise RecordError(f"rule {rule.name} is {value}; write 0 or more")
        if self.size_step == 0:
            raise RecordError("rule size_step is 0; write the shop's tape step, for example 1/16 in or 1 mm")
