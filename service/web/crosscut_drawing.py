"""A crosscut drawn to scale: the roll's width across the page, the roll running down it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from service.documents.amounts import shop_length, shop_text
from service.documents.lookup.records import BlankSpot, CrosscutRun
from solver.lengths import Ticks, Unit

WIDTH = 320
"""Width of the drawing in its own units; on the narrowest phone one unit is about a pixel."""

_TEXT_WIDTH = 8.0
_LINE = 19

Scale = Callable[[int], float]


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankBox:
    """One blank: its box, and the lines of text that fit into it (number first)."""

    nth: int
    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class CrosscutDrawing:
    """A crosscut to scale, ``WIDTH`` wide and ``height`` high; ``rips`` are the cuts along the roll."""

    title: str
    height: float
    boxes: tuple[BlankBox, ...]
    rips: tuple[float, ...]


def crosscut_drawing(run: CrosscutRun, unit: Unit) -> CrosscutDrawing:
    """Return a crosscut to scale, selvages included.

    Examples
    --------
    >>> from solver.lengths import inches
    >>> spot = BlankSpot(from_side=inches(0), from_start=inches(0), across=inches(32), along=inches(48), turned=False)
    >>> run = CrosscutRun(number=1, group=0, roll=1, first=1, count=1, stock="roll", roll_width=inches(64),
    ...     starts_at=inches(0), length=inches(48), bought=True, strips=((inches(0), inches(32)),), blanks=(spot,))
    >>> drawing = crosscut_drawing(run, Unit.INCH)
    >>> drawing.height, drawing.rips, drawing.boxes[0].width, drawing.boxes[0].lines
    (240.0, (160.0,), 160.0, ('1', '32 x 48'))
    """

    def scaled(length: int) -> float:
        return round(length * WIDTH / run.roll_width, 2)

    boxes = tuple(_box(nth, spot, unit, scaled) for nth, spot in enumerate(run.blanks, start=1))
    edges = {scaled(edge) for start, width in run.strips for edge in (start, start + width)}
    blanks = "one blank" if len(run.blanks) == 1 else f"{len(run.blanks)} blanks"
    size = f"{shop_length(run.length, unit)} of a roll {shop_length(run.roll_width, unit)} wide"
    return CrosscutDrawing(
        title=f"Crosscut {run.numbers}, {size}, to scale: {blanks}",
        height=scaled(run.length),
        boxes=boxes,
        rips=tuple(sorted(edge for edge in edges if 0 < edge < WIDTH)),
    )


def _box(nth: int, spot: BlankSpot, unit: Unit, scaled: Scale) -> BlankBox:
    width, height = scaled(spot.across), scaled(spot.along)
    across, along = shop_text(spot.across, unit), shop_text(spot.along, unit)
    ways = ((str(nth), f"{across} x {along}"), (str(nth), across, f"x {along}"), (str(nth),), ())
    lines = next(way for way in ways if _fits(way, width, height))
    return BlankBox(
        nth=nth, x=scaled(spot.from_side), y=scaled(spot.from_start), width=width, height=height, lines=lines
    )


def _fits(lines: tuple[str, ...], width: float, height: float) -> bool:
    longest = max(map(len, lines), default=0)
    return longest * _TEXT_WIDTH <= width and len(lines) * _LINE <= height


def order_of_cutting(run: CrosscutRun, unit: Unit) -> str:
    """Return what to do at the table in one sentence: pull off, rip, trim."""
    strips = ", ".join(shop_text(Ticks(width), unit) for _, width in run.strips)
    trims = len(run.blanks) > len(run.strips) or any(spot.along < run.length for spot in run.blanks)
    ripped = f"{strips} {unit.value} wide" + (", then trim each strip to its blanks" if trims else "")
    return f"Cut off {shop_length(run.length, unit)}, rip {ripped}."
