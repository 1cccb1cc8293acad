"""One opening worked out: its screen, and what stops it or should be known of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.catalogue import Hardware, Mesh, Profile
from solver.frames import FrameSide, Shelf, Words, frame_side
from solver.lengths import Ticks
from solver.openings import Datum, Opening
from solver.plan import Kind, Need, Place, Rail, Screen
from solver.problem import Problem
from solver.rules import Rules
from solver.sizing.bars import Bars, cross_bars
from solver.sizing.cautions import mesh_remarks
from solver.sizing.choosing import Choice, chosen_colour, chosen_mesh, chosen_profile
from solver.sizing.fitting import insertion_remarks, mounting_remarks, review_remarks, slot_remarks
from solver.sizing.hardware import CLIPS_OF_A_BAR, CORNERS_OF_A_FRAME, mounting_line, mounting_needs, need
from solver.sizing.holding import corner_fault, roll_faults, stick_fault
from solver.sizing.pieces import SidePieces, rail, side_pieces, spline_length
from solver.sizing.readings import reading_faults, spread_remarks
from solver.sizing.remarks import Fault, Remark


@dataclass(frozen=True, slots=True)
class Worked:
    """What holds for every opening with these inputs; ``screen`` is None where faults stop it.

    The screen bears the label and quantity of whichever opening came first.
    """

    screen: Screen | None
    faults: tuple[Fault, ...]
    remarks: tuple[Remark, ...]


class Bench:
    """Works openings out, and keeps what the sides of many openings share."""

    def __init__(self, problem: Problem) -> None:
        self.words = Words(problem.unit)
        self.unit = problem.unit
        self.shop = problem.rules
        self.shelf = Shelf(problem.catalogue, problem.rules)
        self._of_mesh = {mesh.name: tuple(mesh_remarks(mesh, problem.rules)) for mesh in problem.catalogue.meshes}
        self._sides: dict[tuple[tuple[Ticks, ...], Datum, int], FrameSide] = {}
        self._pieces: dict[tuple[str, str, str, int], SidePieces] = {}

    def work_out(self, opening: Opening, rules: Rules) -> Worked:
        """Return the screen of an opening with everything found on the way."""
        width = self._side(opening.widths, opening.width_datum, rules)
        height = self._side(opening.heights, opening.height_datum, rules)
        words = self.words
        faults = [
            *reading_faults("width", opening.widths, opening.width_datum, width, rules, words),
            *reading_faults("height", opening.heights, opening.height_datum, height, rules, words),
        ]
        colour = chosen_colour(opening.colour, self.shelf)
        mesh = chosen_mesh(opening.mesh, self.shelf)
        faults += [wrong for wrong in (colour, mesh) if isinstance(wrong, Fault)]
        if isinstance(colour, Fault):
            return Worked(None, tuple(faults), ())
        choice = chosen_profile(opening, colour, self.shelf, rules, words)
        if isinstance(choice, Fault) or isinstance(mesh, Fault) or min(width.size, height.size) <= 0:
            return Worked(None, (*faults, *([choice] if isinstance(choice, Fault) else [])), ())
        return self._screen(opening, rules, colour, mesh, choice, width, height, faults)

    def _side(self, readings: tuple[Ticks, ...], datum: Datum, rules: Rules) -> FrameSide:
        key = (readings, datum, id(rules))
        if key not in self._sides:
            self._sides[key] = frame_side(readings, datum, rules, self.words)
        return self._sides[key]

    def _side_pieces(self, name: str, side: FrameSide, profile: Profile, rules: Rules) -> SidePieces:
        key = (name, side.line, profile.name, id(rules))
        if key not in self._pieces:
            self._pieces[key] = side_pieces(name, side, profile, rules, self.words)
        return self._pieces[key]

    def _screen(
        self,
        opening: Opening,
        rules: Rules,
        colour: str,
        mesh: Mesh,
        choice: Choice,
        width: FrameSide,
        height: FrameSide,
        faults: list[Fault],
    ) -> Worked:
        profile = choice.profile
        too_small = [
            corner_fault("width", width, profile, self.words),
            corner_fault("height", height, profile, self.words),
        ]
        faults += [fault for fault in too_small if fault is not None]
        if any(too_small):
            return Worked(None, tuple(faults), ())
        across = self._side_pieces("width", width, profile, rules)
        upright = self._side_pieces("height", height, profile, rules)
        bars = cross_bars(width.size, height.size, profile, rules, self.words)
        faults += self._stock_faults(across, upright, bars, profile, colour)
        faults += roll_faults(mesh, across.blank, upright.blank, self.shelf, self.shop, self.words)
        spline = self.shelf.spline(profile.name, mesh.name)
        if spline is None and self.shelf.splines_listed:
            faults.append(
                Fault(
                    "mesh", f"no spline is chosen for mesh {mesh.name} in profile {profile.name}; add it to the splines"
                )
            )
        remarks = tuple(self._remarks(opening, rules, choice, mesh, width, height, bars, spline))
        if faults:
            return Worked(None, tuple(faults), remarks)
        length, spline_line = spline_length(width.size, height.size, rules, self.words, self.unit)
        lines = (
            choice.line,
            across.lines[0],
            upright.lines[0],
            bars.line,
            across.lines[1],
            upright.lines[1],
            spline_line,
            mounting_line(opening.mounting, width.size, height.size, opening.deepest_side, rules, self.words),
        )
        screen = Screen(
            opening=opening.label,
            quantity=opening.quantity,
            profile=profile.name,
            colour=colour,
            mesh=mesh.name,
            frame_width=width.size,
            frame_height=height.size,
            rails=tuple(_rails(across.rail, upright.rail, bars)),
            blank_width=across.blank,
            blank_height=upright.blank,
            needs=tuple(_needs(opening, rules, profile, width.size, height.size, bars, length, spline or "")),
            arithmetic=tuple(line for line in lines if line),
        )
        return Worked(screen, (), remarks)

    def _stock_faults(
        self, across: SidePieces, upright: SidePieces, bars: Bars, profile: Profile, colour: str
    ) -> Iterator[Fault]:
        rails = [("widths", "width rail", across.rail), ("heights", "height rail", upright.rail)]
        if bars.count:
            rails.append(("widths" if bars.level else "heights", "cross bar", bars.length))
        for field, what, length in rails:
            fault = stick_fault(field, what, length, profile, colour, self.shelf, self.shop.end_trim, self.words)
            if fault is not None:
                yield fault
                return

    def _remarks(
        self,
        opening: Opening,
        rules: Rules,
        choice: Choice,
        mesh: Mesh,
        width: FrameSide,
        height: FrameSide,
        bars: Bars,
        spline: str | None,
    ) -> Iterator[Remark]:
        words, profile = self.words, choice.profile
        if choice.remark is not None:
            yield choice.remark
        yield from spread_remarks("width", opening.widths, opening.width_datum, rules, words)
        yield from spread_remarks("height", opening.heights, opening.height_datum, rules, words)
        yield from slot_remarks(opening, profile, rules, words)
        yield from mounting_remarks(opening)
        yield from insertion_remarks(opening, width, height, rules, words)
        yield from review_remarks(profile, width.size, height.size, words)
        yield from self._of_mesh[mesh.name]
        if mesh.heavy and not bars.count:
            yield Remark(
                Kind.NOTICE,
                "bow",
                f"Mesh {mesh.name} is heavy and can bow long rails: hold the frame straight while rolling the spline, "
                "or give it a cross bar (bar_above) or a stiffer profile.",
            )
        if spline is None:
            yield Remark(
                Kind.REVIEW,
                "spline",
                f"No spline is chosen for mesh {mesh.name} in profile {profile.name}: try a piece.",
            )


def _rails(across: Ticks, upright: Ticks, bars: Bars) -> Iterator[Rail]:
    yield rail(Place.TOP, across)
    yield rail(Place.BOTTOM, across)
    yield rail(Place.LEFT, upright)
    yield rail(Place.RIGHT, upright)
    for _ in range(bars.count):
        yield rail(Place.BAR, bars.length)


def _needs(
    opening: Opening,
    rules: Rules,
    profile: Profile,
    width: Ticks,
    height: Ticks,
    bars: Bars,
    spline_length: Ticks,
    spline: str,
) -> Iterator[Need]:
    yield need(Hardware.CORNER, CORNERS_OF_A_FRAME, profile.name, "one in each corner")
    if bars.count:
        yield need(Hardware.BAR_CLIP, CLIPS_OF_A_BAR * bars.count, profile.name, "both ends of each cross bar")
    yield from mounting_needs(opening.mounting, width, height, opening.deepest_side, rules)
    yield Need(hardware=Hardware.SPLINE, amount=spline_length, fits=spline, place="groove all round")
    yield need(Hardware.LABEL, 1)
    yield need(Hardware.FALL_LABEL, 1, "", "where it is seen from inside")
