"""Every opening of a job to its screen, or every reason why not."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from solver.errors import ProblemError, ProblemFault
from solver.openings import Opening
from solver.plan import Notice, Screen
from solver.problem import Problem
from solver.rules import Rules
from solver.sizing.cautions import job_remarks, open_area_remarks, row_lines, row_remarks
from solver.sizing.readings import square_remarks
from solver.sizing.remarks import Remarks
from solver.sizing.screens import Bench, Worked


@dataclass(frozen=True, kw_only=True, slots=True)
class Sizing:
    """A screen for every opening, in their order, and what a person should know of them."""

    screens: tuple[Screen, ...]
    notices: tuple[Notice, ...]


def sized(problem: Problem) -> Sizing:
    """Return the screens of all openings, each size with the rule that made it.

    Raises
    ------
    ProblemError
        With every fault of every opening, each by its cell: what is wrong and
        what to write.

    References
    ----------
    The rules of the trade are common practice without a source; each is a rule
    of :class:`solver.rules.Rules`, with its default.
    """
    bench = Bench(problem)
    worked: dict[Hashable, Worked] = {}
    own_rules: dict[Rules, Rules] = {problem.rules: problem.rules}
    remarks = Remarks()
    for remark in job_remarks(problem.openings, problem.rules):
        remarks.say(remark)
    faults: list[ProblemFault] = []
    screens: list[Screen] = []
    for opening in problem.openings:
        # Equal rules become one record, so that what is kept can be found by identity.
        rules = own_rules.setdefault(opening.rules, opening.rules) if opening.rules else problem.rules
        key = _inputs(opening, rules)
        found = worked.get(key)
        if found is None:
            found = worked[key] = bench.work_out(opening, rules)
        faults.extend(fault.at(opening) for fault in found.faults)
        for remark in found.remarks:
            remarks.add(remark, opening.label)
        if opening.diagonals is not None:
            for remark in square_remarks(opening.diagonals, rules, bench.words):
                remarks.add(remark, opening.label)
        for remark in row_remarks(opening, rules, bench.words):
            remarks.add(remark, opening.label)
        if found.screen is not None:
            screens.append(_labelled(found.screen, opening, row_lines(opening, rules, bench.words)))
    if faults:
        raise ProblemError(tuple(faults))
    used = {screen.mesh for screen in screens}
    for remark in open_area_remarks(mesh for mesh in problem.catalogue.meshes if mesh.name in used):
        remarks.say(remark)
    return Sizing(screens=tuple(screens), notices=remarks.notices())


def _inputs(opening: Opening, rules: Rules) -> Hashable:
    """Return everything a screen follows from, its label and number apart."""
    return (
        opening.widths,
        opening.heights,
        opening.width_datum,
        opening.height_datum,
        opening.mounting,
        opening.slot_width,
        opening.channel_depth,
        opening.deepest_side,
        opening.profile,
        opening.colour,
        opening.mesh,
        id(rules),
    )


def _labelled(screen: Screen, opening: Opening, lines: tuple[str, ...]) -> Screen:
    """Return the screen under an opening's own label, with lines of its own.

    Written out field by field, because a large job does this often.
    """
    return Screen(
        opening=opening.label,
        quantity=opening.quantity,
        profile=screen.profile,
        colour=screen.colour,
        mesh=screen.mesh,
        frame_width=screen.frame_width,
        frame_height=screen.frame_height,
        rails=screen.rails,
        blank_width=screen.blank_width,
        blank_height=screen.blank_height,
        needs=screen.needs,
        arithmetic=screen.arithmetic + lines,
    )
