"""What the rack has taken over from a job counts in no question about that job."""

from __future__ import annotations

from dataclasses import replace

from service.leftovers.records import PieceState, RackPiece
from service.leftovers.stock import without_handed_over
from solver.events import EverythingCut
from solver.lengths import Ticks
from solver.revision.leftover_names import OWN
from tests.builders import opening, problem
from tests.solver.revision.chain import after, first


def test_a_leftover_that_was_handed_over_is_no_stock_in_a_question() -> None:
    cut = after(first(problem(opening())), EverythingCut())
    own = [stick for stick in cut.problem.catalogue.sticks if stick.name.startswith(OWN)]
    (stick, *others) = own
    piece = RackPiece(
        id="L23456789",
        tenant="we",
        state=PieceState.FREE,
        profile=stick.profile,
        colour=stick.colour,
        mesh="",
        width=Ticks(0),
        length=Ticks(stick.length - 1),
        both_ends_clean=stick.both_ends_clean,
        place="",
        source="",
        job="",
        created=0.0,
        changed=0.0,
        origin="job",
        planned=stick.length,
    )
    asked = without_handed_over(cut, [piece])
    lying = {each.name: each.on_hand for each in asked.problem.catalogue.sticks if each.name.startswith(OWN)}
    assert lying == {each.name: each.on_hand for each in others} | (
        {stick.name: stick.on_hand - 1} if stick.on_hand > 1 else {}
    )
    # What the plan at hand has struck already is not struck again.
    assert without_handed_over(replace(cut, struck=("L23456789",)), [piece]).problem == cut.problem
