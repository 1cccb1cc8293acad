"""A screen drawn to scale as seen from inside the room: rails, cross bars, springs and pull tabs on their sides."""

from __future__ import annotations

from dataclasses import dataclass

from service.documents.amounts import shop_text
from service.documents.lookup.records import OpeningSizes
from solver.lengths import Unit
from solver.openings import Mounting, Side
from solver.plan import Place

WIDTH = 320
_WIDEST, _TALLEST = 230, 280
_LEAST_FACE = 5.0
_SPRUNG = {Mounting.SPRINGS.value, Mounting.LEAVES.value}


@dataclass(frozen=True, kw_only=True, slots=True)
class Box:
    """A rectangle in the drawing's units."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True, slots=True)
class FrameDrawing:
    """A frame in a drawing ``WIDTH`` wide and ``height`` high.

    ``joints`` are the corner lines (x1, y1, x2, y2); ``springs`` and ``tabs`` are centres on their sides.
    """

    title: str
    height: float
    outside: Box
    inside: Box
    bars: tuple[Box, ...]
    joints: tuple[tuple[float, float, float, float], ...]
    springs: tuple[tuple[float, float], ...]
    tabs: tuple[tuple[float, float], ...]
    width_text: str
    height_text: str


def frame_drawing(sizes: OpeningSizes, unit: Unit) -> FrameDrawing:
    """Return a screen to scale with its outside sizes."""
    row = sizes.row
    scale = min(_WIDEST / row.frame_width, _TALLEST / row.frame_height)
    width, height = round(row.frame_width * scale, 1), round(row.frame_height * scale, 1)
    face = max(_LEAST_FACE, round(sizes.face * scale, 1))
    outside = Box(x=24.0, y=30.0, width=width, height=height)
    inside = Box(x=24.0 + face, y=30.0 + face, width=width - 2 * face, height=height - 2 * face)
    sprung = sizes.mounting in _SPRUNG and sizes.deepest_side
    side = Side(sizes.deepest_side) if sprung else None
    width_text, height_text = shop_text(row.frame_width, unit), shop_text(row.frame_height, unit)
    held = f", springs at the {side.value}, pull tabs at the {side.opposite.value}" if side else ""
    return FrameDrawing(
        title=f"Screen {row.label} seen from inside, to scale: {width_text} wide, {height_text} high{held}",
        height=height + 44,
        outside=outside,
        inside=inside,
        bars=_bars(sizes, inside, face),
        joints=_joints(outside, inside, mitred=sizes.mitred),
        springs=_on_side(side, outside, face, _count(sizes, "spring")) if side else (),
        tabs=_on_side(side.opposite, outside, face, _count(sizes, "pull tab")) if side else (),
        width_text=width_text,
        height_text=height_text,
    )


def _bars(sizes: OpeningSizes, inside: Box, face: float) -> tuple[Box, ...]:
    lengths = [length for place, length in sizes.rails if place == Place.BAR.value]
    if not lengths:
        return ()
    level = abs(lengths[0] - sizes.row.frame_width) <= abs(lengths[0] - sizes.row.frame_height)
    bars = []
    for nth in range(1, len(lengths) + 1):
        if level:
            middle = inside.y + inside.height * nth / (len(lengths) + 1)
            bars.append(Box(x=inside.x, y=round(middle - face / 2, 1), width=inside.width, height=face))
        else:
            middle = inside.x + inside.width * nth / (len(lengths) + 1)
            bars.append(Box(x=round(middle - face / 2, 1), y=inside.y, width=face, height=inside.height))
    return tuple(bars)


def _joints(outside: Box, inside: Box, *, mitred: bool) -> tuple[tuple[float, float, float, float], ...]:
    joints = []
    for right in (False, True):
        for bottom in (False, True):
            outer = (outside.x + right * outside.width, outside.y + bottom * outside.height)
            inner = (inside.x + right * inside.width, inside.y + bottom * inside.height)
            if mitred:
                joints.append((*outer, *inner))
            else:
                joints += [(inner[0], outer[1], inner[0], inner[1]), (outer[0], inner[1], inner[0], inner[1])]
    return tuple(joints)


def _count(sizes: OpeningSizes, word: str) -> int:
    """Return how many of a hardware the screen's list counts: its lines begin with the number."""
    counts = (line.split(maxsplit=1) for line in sizes.hardware)
    return sum(int(count) for count, what in counts if count.isdecimal() and word in what.partition(",")[0])


def _on_side(side: Side, outside: Box, face: float, count: int) -> tuple[tuple[float, float], ...]:
    centre_x, centre_y = outside.x + outside.width / 2, outside.y + outside.height / 2
    shares = [(nth + 1) / (count + 1) - 0.5 for nth in range(count)]
    if side in (Side.TOP, Side.BOTTOM):
        y = outside.y + face / 2 if side is Side.TOP else outside.y + outside.height - face / 2
        return tuple((round(centre_x + share * outside.width, 1), round(y, 1)) for share in shares)
    x = outside.x + face / 2 if side is Side.LEFT else outside.x + outside.width - face / 2
    return tuple((round(x, 1), round(centre_y + share * outside.height, 1)) for share in shares)
