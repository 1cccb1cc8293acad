"""Numbers on sticks, crosscuts and labels outlast revisions."""

from __future__ import annotations

from solver.events import Added, Cancelled, ChangeOrder, CrosscutCut, EverythingCut, RollFlaw, StickCut
from solver.lengths import inches
from tests.builders import COLOUR, MESH, PROFILE, opening, problem, roll
from tests.solver.revision.chain import after, first


def numbers(revision: object) -> list[int]:
    return [stick.number for stick in revision.plan.stick_groups[0].sticks]  # type: ignore[attr-defined]


def crosscuts(revision: object) -> dict[int, list[int]]:
    rolls = revision.plan.roll_groups[0].rolls  # type: ignore[attr-defined]
    return {roll.number: [cut.number for cut in roll.crosscuts] for roll in rolls}


def test_what_is_left_to_cut_keeps_its_numbers() -> None:
    before = first(problem(opening(quantity=2)))
    assert numbers(before) == [1, 2, 3, 4]
    now = after(before, StickCut(profile=PROFILE, colour=COLOUR, number=2))
    assert numbers(now) == [1, 3, 4]


def test_no_number_is_given_twice_not_even_that_of_a_stick_long_cut() -> None:
    before = first(problem(opening(quantity=2)))
    assert numbers(before) == [1, 2, 3, 4]
    cut = after(before, EverythingCut())
    more = after(cut, ChangeOrder(opening="A-101", quantity=3))
    assert numbers(more) == [5, 6]
    yet_more = after(after(more, EverythingCut()), ChangeOrder(opening="A-101", quantity=4))
    assert numbers(yet_more) == [7, 8]


def test_crosscuts_that_stand_keep_their_numbers_and_their_roll() -> None:
    job = problem(opening(quantity=4), rolls=(roll(width=inches(36), name="36 in"),))
    before = first(job)
    assert crosscuts(before) == {1: [1, 2, 3, 4]}
    now = after(before, CrosscutCut(mesh=MESH, number=1))
    assert crosscuts(now) == {1: [2, 3, 4]}
    one_more = after(now, Added(opening=opening("B", height=inches(60))))
    assert crosscuts(one_more) == {1: [2, 3, 4, 5]}


def test_a_flaw_moves_only_the_crosscuts_that_do_not_fit_any_more() -> None:
    # Each crosscut takes 49 3/8 in; 200 in hold four of them. A flaw from 60 to 70 in leaves 60 and 130 in.
    job = problem(opening(quantity=4), rolls=(roll(width=inches(36), length=inches(200), name="36 in"),))
    before = first(job)
    assert crosscuts(before) == {1: [1, 2, 3, 4]}
    now = after(before, RollFlaw(mesh=MESH, number=1, starts_at=inches(60), length=inches(10)))
    assert now.difference is not None
    assert now.difference.changes == 1
    standing = sorted(cut.number for cut in now.difference.to_cut if cut.group == MESH and cut.was is not None)
    assert standing == [1, 2, 3]


def test_of_the_crosscuts_that_can_stand_most_do_while_the_rest_is_planned_anew() -> None:
    # The blank of B shared a crosscut with one of A: only that crosscut is planned again.
    job = problem(opening("A", quantity=5), opening("B"), rolls=(roll("72 in", inches(72), 9_000),))
    before = first(job)
    now = after(before, Cancelled(opening="B"))
    mesh = [change for change in now.difference.to_cut if change.group == MESH] if now.difference else []
    assert sum(change.was is not None for change in mesh) == 2
    assert sum(change.was is None for change in mesh) == 1


def test_an_opening_keeps_its_number_when_one_before_it_is_cancelled() -> None:
    job = problem(opening("A"), opening("B"), opening("C"))
    now = after(first(job), Cancelled(opening="A"), Added(opening=opening("D")))
    assert now.problem.numbering == ("A", "B", "C", "D")
    assert [each.label for each in now.problem.openings] == ["B", "C", "D"]
