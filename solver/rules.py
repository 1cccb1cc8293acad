"""Shop rules: every figure of the trade that differs by region or hardware, with its default.

Each field carries in its metadata what it is (``what``), how it is written
(``kind``) and what it belongs to (``scope``), for the rules sheet and the
documents. Sources: common practice, no source, unless ``source`` says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from typing import Any

from solver.errors import RecordError
from solver.lengths import Ticks, inches


class Turning(Enum):
    """Whether a mesh blank may be cut with its height across the roll.

    By facade: all blanks of the mesh on one facade lie the same way, all upright or
    all turned, so that the weave looks the same from outside.
    """

    FREE = "may turn"
    NEVER = "never turn"
    FACADE = "one way by facade"


class BarAxis(Enum):
    """Which way a cross bar lies."""

    ACROSS_LONG = "across the long rails"
    LEVEL = "level"
    UPRIGHT = "upright"


class Preference(Enum):
    """Whether a shop lets something choose among equally cheap plans."""

    PREFER = "prefer"
    IGNORE = "ignore"


class RuleKind(Enum):
    """How the value of a rule is written in a cell."""

    LENGTH = "length"
    COUNT = "count"
    PER_MILLE = "per mille"
    AREA = "area"
    YEAR = "year"
    CHOICE = "choice"
    TEXT = "text"


class RuleScope(Enum):
    """What a rule belongs to: one opening may have its own, or the whole shop works by one."""

    OPENING = "opening"
    SHOP = "shop"


_AREA_UNITS = {"sq ft": Fraction(97_536) ** 2, "sq in": Fraction(8_128) ** 2, "m2": Fraction(320_000) ** 2}


@lru_cache(maxsize=256)
def square_ticks(text: str) -> Fraction:
    """Return an area written as a number and ``sq ft``, ``sq in`` or ``m2``, in square ticks, exact.

    Raises
    ------
    RecordError
        If the text is no such area.

    Examples
    --------
    >>> square_ticks("1 sq ft") == square_ticks("144 sq in")
    True
    """
    for name, size in _AREA_UNITS.items():
        number = text.strip().removesuffix(name).strip()
        if text.strip().endswith(name) and number.replace(".", "", 1).isdecimal() and number.isascii():
            return Fraction(number) * size
    raise RecordError(f"{text!r} is no area; write for example 5.7 sq ft, 820 sq in or 0.33 m2")


def _rule(default: Any, what: str, kind: RuleKind, *, shop: bool = False, source: str = "") -> Any:
    scope = RuleScope.SHOP if shop else RuleScope.OPENING
    return field(default=default, metadata={"what": what, "kind": kind, "scope": scope, "source": source})


def _length(default: Ticks, what: str, *, shop: bool = False, source: str = "") -> Any:
    return _rule(default, what, RuleKind.LENGTH, shop=shop, source=source)


def _count(default: int, what: str, *, shop: bool = False, source: str = "") -> Any:
    return _rule(default, what, RuleKind.COUNT, shop=shop, source=source)


def _choice(default: Enum, what: str) -> Any:
    return _rule(default, what, RuleKind.CHOICE, shop=True)


_IRC_ESCAPE = "IRC R310; England, Approved Document B: 0.33 m2, 450 mm both ways, sill 1,100 mm"


@dataclass(frozen=True, kw_only=True, slots=True)
class Rules:
    """The figures a shop works by. Lengths in ticks, shares in per mille.

    A row may replace any of them for its own opening; those of the saw, the
    cutting table and the purchase hold for the whole shop.
    """

    # Opening to frame
    bottoms_clearance: Ticks = _length(inches(0, 1, 8), "taken off a reading from channel bottom to channel bottom")
    lip_overlap: Ticks = _length(inches(0, 1, 8), "added for each side to a clear reading between channel lips")
    deep_clearance: Ticks = _length(
        inches(0, 1, 8), "taken off a reading from the deep channel to the opposite lip edge"
    )
    face_overlap: Ticks = _length(
        inches(0, 3, 8), "added for each side to an opening screened from outside on its face"
    )
    stops_clearance: Ticks = _length(inches(0, 1, 8), "taken off a reading from stop to stop")
    size_step: Ticks = _length(
        inches(0, 1, 16), "frame sizes are rounded to this step, down in a channel, up on a face"
    )
    slot_play: Ticks = _length(inches(0, 1, 32), "least play between profile thickness and channel slot")
    usual_thickness: Ticks = _length(
        inches(0, 5, 16), "profile thickness taken where a row gives neither profile nor slot"
    )
    leaf_depth: Ticks = _length(inches(0, 1, 16), "depth a compressed leaf spring takes in the deep channel")
    # Frame to pieces
    bar_above: Ticks = _length(inches(48), "a frame whose longer side is over this gets a cross bar")
    bar_span: Ticks = _length(
        inches(60), "greatest length of rail without a cross bar, more bars beyond it; 0 for never more than one"
    )
    bar_axis: BarAxis = _rule(BarAxis.ACROSS_LONG, "which way cross bars lie", RuleKind.CHOICE)
    blank_allowance: Ticks = _length(inches(1), "mesh beyond the outside of the frame, each side")
    spline_extra: int = _rule(50, "spline cut longer than the frame's outline, per mille", RuleKind.PER_MILLE)
    # Hardware
    springs: int = _count(2, "springs of a screen held by tension or leaf springs")
    third_spring_above: Ticks = _length(inches(48), "a spring side over this gets one more tension spring")
    tabs: int = _count(2, "pull tabs of a screen held by tension or leaf springs")
    clip_spacing: Ticks = _length(inches(20), "greatest distance between face clips along the frame")
    least_clips: int = _count(4, "face clips a screen has at least")
    pins: int = _count(4, "plunger pins for one screen")
    rollers: int = _count(4, "rollers of a sliding screen")
    hardware_spares: int = _rule(
        0, "hardware bought beyond the need, per mille, rounded up", RuleKind.PER_MILLE, shop=True
    )
    # Saw
    kerf: Ticks = _length(inches(0, 1, 8), "width of the saw cut, measured square to the blade", shop=True)
    end_trim: Ticks = _length(
        inches(0, 1, 4), "cut off each damaged end of a bought stick, saw cut included", shop=True
    )
    useful_offcut: Ticks = _length(inches(12), "shortest rail offcut worth keeping", shop=True)
    leftover_value: int = _rule(
        0,
        "what a leftover stick is worth, per mille of its length bought new: it is cut only where it saves that much",
        RuleKind.PER_MILLE,
        shop=True,
    )
    # Among equally cheap ways to cut the sticks, the first that is preferred counting most
    shorter_sticks: Preference = _choice(
        Preference.PREFER, "of equally cheap plans: the one that takes less stick length"
    )
    useful_offcuts: Preference = _choice(
        Preference.PREFER, "of equally cheap plans: the one with less scrap and longer offcuts worth keeping"
    )
    fewer_patterns: Preference = _choice(
        Preference.PREFER, "of equally cheap plans: the one with fewer ways to cut a stick"
    )
    # Cutting table
    mesh_stages: int = _count(
        2, "stages of mesh cutting: 2 for one blank a strip, 3 for several behind each other", shop=True
    )
    selvage_trim: Ticks = _length(inches(0, 1, 4), "cut off each edge of a roll", shop=True)
    crosscut_extra: Ticks = _length(Ticks(0), "mesh lost at every crosscut", shop=True)
    longest_crosscut: Ticks = _length(Ticks(0), "longest crosscut the table takes; 0 for no limit", shop=True)
    useful_mesh_width: Ticks = _length(inches(18), "narrowest mesh leftover worth keeping", shop=True)
    useful_mesh_length: Ticks = _length(inches(24), "shortest mesh leftover worth keeping", shop=True)
    # Readings
    spread_warning: Ticks = _length(inches(0, 1, 4), "readings of one side that differ by more are reported")
    spread_limit: Ticks = _length(inches(0, 1, 2), "readings of one side that differ by more stop the row")
    square_warning: Ticks = _length(inches(0, 1, 8), "diagonals that differ by this much are reported")
    square_review: Ticks = _length(inches(0, 1, 4), "diagonals that differ by this much call for a review")
    sure_least: Ticks = _length(inches(5), "a side under this is surely in the wrong unit")
    sure_most: Ticks = _length(inches(240), "a side over this is surely in the wrong unit")
    plausible_least: Ticks = _length(inches(8), "a side under this is reported")
    plausible_most: Ticks = _length(inches(96), "a side over this is reported")
    plausible_ratio: int = _count(5, "an opening longer than so many times its width, or wider, is reported")
    plausible_area: str = _rule("40 sq ft", "an opening larger than this is reported", RuleKind.AREA)
    type_deviation: Ticks = _length(
        inches(0, 1, 2), "an opening that differs by more from the usual size of its type or stack is reported"
    )
    diagonal_misfit: Ticks = _length(
        inches(1), "diagonals that miss those of the width and height by more are reported"
    )
    # Where the job is; the figures are quoted beside a size, never judged by
    jurisdiction: str = _rule("", "where the job is, for the codes that apply", RuleKind.TEXT)
    edition: str = _rule("", "building code that applies and its edition", RuleKind.TEXT)
    escape_area: str = _rule(
        "5.7 sq ft", "least net clear area of an escape opening", RuleKind.AREA, source=_IRC_ESCAPE
    )
    escape_area_at_grade: str = _rule(
        "5 sq ft", "least net clear area of an escape opening at grade", RuleKind.AREA, source=_IRC_ESCAPE
    )
    escape_grade_drop: Ticks = _length(
        inches(44), "an escape opening with no more drop outside counts as at grade", source="from memory"
    )
    escape_width: Ticks = _length(inches(20), "least net clear width of an escape opening", source=_IRC_ESCAPE)
    escape_height: Ticks = _length(inches(24), "least net clear height of an escape opening", source=_IRC_ESCAPE)
    escape_sill: Ticks = _length(inches(44), "highest sill of an escape opening above the floor", source=_IRC_ESCAPE)
    fall_sill: Ticks = _length(
        inches(24), "a sill lower than this over a drop calls for fall protection", source="IRC R312.2; IBC: 36 in"
    )
    fall_drop: Ticks = _length(
        inches(72), "a drop outside of more than this calls for fall protection", source="IRC R312.2"
    )
    lead_before: int = _rule(
        1978, "in houses built before this year old paint may hold lead", RuleKind.YEAR, source="40 CFR 745"
    )
    asbestos_before: int = _rule(
        1990, "in houses built before this year old putty or caulk may hold asbestos", RuleKind.YEAR
    )
    least_mesh_count: int = _count(
        16, "threads an inch that some housing rules ask for", source="29 CFR 1910.142(b)(8), 20 CFR 654.408"
    )
    wildfire_zone: str = _rule("", "wildfire zone the job lies in, if any", RuleKind.TEXT)

    def __post_init__(self) -> None:
        """Refuse a rule that no shop can work by."""
        for rule in fields(self):
            value = getattr(self, rule.name)
            if isinstance(value, int) and value < 0:
                raise RecordError(f"rule {rule.name} is {value}; write 0 or more")
            if rule.metadata["kind"] is RuleKind.AREA:
                square_ticks(value)
        if self.mesh_stages not in (2, 3):
            raise RecordError(f"rule mesh_stages is {self.mesh_stages}; write 2 or 3")
        if self.size_step == 0:
            raise RecordError("rule size_step is 0; write the shop's tape step, for example 1/16 in or 1 mm")
