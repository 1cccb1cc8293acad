"""Shop rules: every figure of the trade that differs by region or hardware, with its default.

Each field carries in its metadata what it is (``what``), how it is written
(``kind``) and what it belongs to (``scope``), for the rules sheet and the
documents. Sources: common practice, no source, unless ``source`` says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from enum import Enum
from fractions import Fraction
from typing import Any

from solver.errors import RecordError
from solver.lengths import Ticks, Unit, inches, length_text


class Turning(Enum):
    """Whether a mesh blank may be cut with its height across the roll."""

    FREE = "may turn"
    NEVER = "never turn"


class BarAxis(Enum):
    """Which way a cross bar lies."""

    ACROSS_LONG = "across the long rails"
    LEVEL = "level"
    UPRIGHT = "upright"


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
    # Cutting table
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
    # Where the job is
    jurisdiction: str = _rule(
        "", "building code that applies, with its edition; only quoted, never judged", RuleKind.TEXT
    )

    def __post_init__(self) -> None:
        """Refuse a rule that no shop can work by."""
        for rule in fields(self):
            value = getattr(self, rule.name)
            if isinstance(value, int) and value < 0:
                raise RecordError(f"rule {rule.name} is {value}; write 0 or more")
            if rule.metadata["kind"] is RuleKind.AREA:
                square_ticks(value)
        if self.size_step == 0:
            raise RecordError("rule size_step is 0; write the shop's tape step, for example 1/16 in or 1 mm")


@dataclass(frozen=True, kw_only=True, slots=True)
class RuleInForce:
    """One rule as it stands: its name, its value as a shop writes it, what it is, and whether it is our default."""

    name: str
    value: str
    what: str
    scope: RuleScope
    default: bool


def rule_text(name: str, rules: Rules, unit: Unit) -> str:
    """Return the value of one rule as it would stand in a cell.

    Examples
    --------
    >>> rule_text("kerf", Rules(), Unit.INCH), rule_text("bar_axis", Rules(), Unit.INCH)
    ('1/8', 'across the long rails')
    """
    value = getattr(rules, name)
    if isinstance(value, Enum):
        return str(value.value)
    kind = next(rule.metadata["kind"] for rule in fields(rules) if rule.name == name)
    return length_text(Ticks(value), unit) if kind is RuleKind.LENGTH else str(value)


def rules_in_force(rules: Rules, unit: Unit, standard: Rules | None = None) -> tuple[RuleInForce, ...]:
    """Return every rule with its value in force, in the order of the rules sheet.

    Parameters
    ----------
    rules
        The rules of the job, or of one opening.
    unit
        The unit lengths are written in.
    standard
        What counts as default; our inch defaults if None.

    Examples
    --------
    >>> [rule.name for rule in rules_in_force(Rules(pins=2), Unit.INCH) if not rule.default]
    ['pins']
    """
    before = standard or Rules()
    return tuple(
        RuleInForce(
            name=rule.name,
            value=rule_text(rule.name, rules, unit),
            what=rule.metadata["what"],
            scope=rule.metadata["scope"],
            default=getattr(rules, rule.name) == getattr(before, rule.name),
        )
        for rule in fields(rules)
    )
