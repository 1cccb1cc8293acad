"""The drawing of a frame to scale, seen from inside: rails, corners, cross bars, springs and tabs on their sides."""

from __future__ import annotations

from dataclasses import dataclass

from service.documents.amounts import shop_text
from service.documents.papers.faces import Face, fitted_size
from service.documents.papers.pen import SCRAP_GREY, Align, Pen
from solver.catalogue import Corner, Hardware, Profile
from solver.lengths import Ticks, Unit
from solver.openings import Mounting, Opening, Side
from solver.plan import Place, Screen

_SPRUNG = {Mounting.SPRINGS: Hardware.SPRING, Mounting.LEAVES: Hardware.LEAF}


@dataclass(frozen=True, kw_only=True, slots=True)
class FramePicture:
    """A screen to draw, and the box to draw it in: upper left corner, width, height."""

    screen: Screen
    opening: Opening | None
    profile: Profile | None
    unit: Unit
    left: float
    top: float
    width: float
    height: float

    @property
    def per_tick(self) -> float:
        """Points to a tick; numbers and springs stand outside the frame."""
        room_across, room_up = self.width - 64, self.height - 96
        return min(room_across / self.screen.frame_width, room_up / self.screen.frame_height)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, width and height of the frame on paper."""
        wide, high = self.screen.frame_width * self.per_tick, self.screen.frame_height * self.per_tick
        return self.left + (self.width - wide) / 2, self.top - self.height / 2 - high / 2, wide, high

    @property
    def face(self) -> float:
        """Width of a rail on paper, wide enough to be seen."""
        if self.profile is None:
            return 8.0
        return max(self.profile.face * self.per_tick, 7.0)


def draw_frame(pen: Pen, picture: FramePicture) -> None:
    """Draw a frame with its sizes and hardware."""
    left, bottom, wide, high = picture.box
    face = picture.face
    pen.box(left, bottom, wide, high, fill=SCRAP_GREY, line=1.2)
    pen.box(left + face, bottom + face, wide - 2 * face, high - 2 * face, fill=1.0)
    _corners(pen, picture)
    _bars(pen, picture)
    _rail_lengths(pen, picture)
    _frame_sizes(pen, picture)
    _hardware(pen, picture)


def _corners(pen: Pen, picture: FramePicture) -> None:
    left, bottom, wide, high = picture.box
    face = picture.face
    mitred = picture.profile is not None and picture.profile.corner is Corner.MITRED
    for x, inward_x in ((left, 1), (left + wide, -1)):
        for y, inward_y in ((bottom, 1), (bottom + high, -1)):
            inner_x, inner_y = x + inward_x * face, y + inward_y * face
            if mitred:
                pen.line(x, y, inner_x, inner_y)
            else:
                pen.box(min(x, inner_x), min(y, inner_y), face, face, fill=1.0)


def _bars(pen: Pen, picture: FramePicture) -> None:
    """Draw cross bars evenly spaced, level or upright as their length says."""
    bars = [rail for rail in picture.screen.rails if rail.place is Place.BAR]
    if not bars:
        return
    left, bottom, wide, high = picture.box
    face = picture.face
    level = bar_is_level(picture.screen, bars[0].length, picture.profile)
    length = shop_text(bars[0].length, picture.unit)
    for number in range(1, len(bars) + 1):
        share = number / (len(bars) + 1)
        if level:
            y = bottom + high * share - face / 2
            pen.box(left + face, y, wide - 2 * face, face, fill=SCRAP_GREY)
            pen.text(left + wide / 2, y + face + 3, f"cross bar {length}", 9, align=Align.CENTRE)
        else:
            x = left + wide * share - face / 2
            pen.box(x, bottom + face, face, high - 2 * face, fill=SCRAP_GREY)
            pen.upright_text(x - 3, bottom + high / 2, f"cross bar {length}", 9)


def bar_is_level(screen: Screen, length: Ticks, profile: Profile | None) -> bool:
    """Return whether a cross bar of this length lies level: it spans the width rather than the height."""
    faces = 2 * profile.face if profile else 0
    return abs(screen.frame_width - faces - length) <= abs(screen.frame_height - faces - length)


def _rail_lengths(pen: Pen, picture: FramePicture) -> None:
    left, bottom, wide, high = picture.box
    face = picture.face
    lengths = {rail.place: shop_text(rail.length, picture.unit) for rail in picture.screen.rails}
    gap_across, gap_up = _first_gap(picture)
    middle = left + face + gap_across / 2
    pen.fitted(
        middle,
        bottom + high - face - 16,
        lengths.get(Place.TOP, ""),
        14,
        gap_across - 30,
        face=Face.BOLD,
        align=Align.CENTRE,
    )
    pen.fitted(
        middle,
        bottom + face + 6,
        lengths.get(Place.BOTTOM, ""),
        14,
        gap_across - 30,
        face=Face.BOLD,
        align=Align.CENTRE,
    )
    beside = bottom + face + gap_up / 2
    for x, place in ((left + face + 15, Place.LEFT), (left + wide - face - 6, Place.RIGHT)):
        length = lengths.get(place, "")
        pen.upright_text(x, beside, length, fitted_size(length, Face.BOLD, 14, max(gap_up - 40, 12)), face=Face.BOLD)


def _first_gap(picture: FramePicture) -> tuple[float, float]:
    """Return width and height of the free field at the lower left, between rails and the first cross bars."""
    _, _, wide, high = picture.box
    across, up = wide - 2 * picture.face, high - 2 * picture.face
    bars = [rail for rail in picture.screen.rails if rail.place is Place.BAR]
    if not bars:
        return across, up
    level = bar_is_level(picture.screen, bars[0].length, picture.profile)
    fields = len(bars) + 1
    return (across, up / fields - picture.face / 2) if level else (across / fields - picture.face / 2, up)


def _frame_sizes(pen: Pen, picture: FramePicture) -> None:
    """Draw the outer sizes as dimension lines, below and at the left."""
    left, bottom, wide, high = picture.box
    y, x = bottom - 22, left - 22
    pen.line(left, y, left + wide, y, 0.5)
    pen.line(x, bottom, x, bottom + high, 0.5)
    for end in (left, left + wide):
        pen.line(end, y - 3, end, y + 3, 0.5)
    for end in (bottom, bottom + high):
        pen.line(x - 3, end, x + 3, end, 0.5)
    screen, unit = picture.screen, picture.unit
    pen.text(left + wide / 2, y - 10, f"frame {shop_text(screen.frame_width, unit)}", 10, align=Align.CENTRE)
    pen.upright_text(x - 4, bottom + high / 2, f"frame {shop_text(screen.frame_height, unit)}", 10)


def _hardware(pen: Pen, picture: FramePicture) -> None:
    opening = picture.opening
    if opening is None or opening.mounting not in _SPRUNG:
        return
    counts = {need.hardware: need.amount for need in picture.screen.needs}
    springs = counts.get(_SPRUNG[opening.mounting], 0)
    for at in range(springs):
        _spring(pen, picture, opening.deepest_side, (at + 1) / (springs + 1))
    tabs = counts.get(Hardware.TAB, 0)
    for at in range(tabs):
        _tab(pen, picture, opening.deepest_side.opposite, (at + 1) / (tabs + 1))


def _point(picture: FramePicture, side: Side, share: float, out: float) -> tuple[float, float]:
    """Return a point on a side of the frame, ``out`` points outside of it."""
    left, bottom, wide, high = picture.box
    match side:
        case Side.TOP:
            return left + wide * share, bottom + high + out
        case Side.BOTTOM:
            return left + wide * share, bottom - out
        case Side.LEFT:
            return left - out, bottom + high * share
        case Side.RIGHT:
            return left + wide + out, bottom + high * share


def _spring(pen: Pen, picture: FramePicture, side: Side, share: float) -> None:
    """Draw a spring as a zigzag just outside its rail, with its name."""
    x, y = _point(picture, side, share, 6)
    level = side in (Side.TOP, Side.BOTTOM)
    points = []
    for step in range(9):
        along, across = (step - 4) * 3.5, 0.0 if step in (0, 8) else (3.0 if step % 2 else -3.0)
        points.append((x + along, y + across) if level else (x + across, y + along))
    pen.curve(points)
    _mark(pen, picture, side, share, "spring")


def _tab(pen: Pen, picture: FramePicture, side: Side, share: float) -> None:
    """Draw a pull tab as a small box reaching in from its rail, with its name."""
    x, y = _point(picture, side, share, -picture.face / 2)
    pen.box(x - 4, y - 4, 8, 8, fill=0.0)
    _mark(pen, picture, side, share, "tab")


def _mark(pen: Pen, picture: FramePicture, side: Side, share: float, word: str) -> None:
    x, y = _point(picture, side, share, 13)
    if side in (Side.TOP, Side.BOTTOM):
        pen.text(x, y - (7 if side is Side.BOTTOM else 0), word, 8, align=Align.CENTRE)
    else:
        pen.upright_text(x + (6 if side is Side.RIGHT else 0), y, word, 8)
