"""A plan looked up in its lookup file says what the plan says."""

from __future__ import annotations

import itertools
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.documents.lookup.read import PlanLookup
from service.documents.lookup.write import write_lookup
from service.errors import LookupFormatError
from solver.plan import Plan
from tests.service.web.planned_jobs import large_plan, solved_block


@pytest.fixture(scope="module")
def plan() -> Plan:
    return solved_block()[1]


@pytest.fixture(scope="module")
def lookup(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PlanLookup]:
    path = tmp_path_factory.mktemp("lookup") / "plan.sqlite"
    write_lookup(*solved_block(), path)
    opened = PlanLookup(path)
    yield opened
    opened.close()


def test_every_opening_is_found_with_its_sizes(lookup: PlanLookup, plan: Plan) -> None:
    rows = lookup.openings().rows
    assert [row.label for row in rows] == [screen.opening for screen in plan.screens]
    sizes = [lookup.opening(row.number) for row in rows]
    assert [found.arithmetic for found in sizes if found] == [screen.arithmetic for screen in plan.screens]


def test_drawings_stand_in_cutting_order_and_count_every_stick(lookup: PlanLookup, plan: Plan) -> None:
    runs = lookup.stick_runs(0).rows
    firsts = [run.first for run in runs]
    assert firsts == sorted(firsts)
    assert sum(run.count for run in runs) == len(plan.stick_groups[0].sticks)


def test_neighbouring_drawings_differ(lookup: PlanLookup) -> None:
    runs = lookup.stick_runs(0).rows
    assert all(a.rails != b.rails or a.stock != b.stock for a, b in itertools.pairwise(runs))


def test_every_rail_of_the_plan_is_on_a_drawing_under_its_label(lookup: PlanLookup, plan: Plan) -> None:
    on_drawings = [piece.label for run in lookup.stick_runs(0).rows for piece in lookup.rails_of(run.number).rows]
    rails = [rail for stick in plan.stick_groups[0].sticks for rail in stick.rails]
    assert len(on_drawings) == len(rails)
    assert "type C (3 of 6) top" in on_drawings
    assert "B1-101-LR left" in on_drawings


def test_every_blank_of_the_plan_is_on_a_crosscut_drawing(lookup: PlanLookup, plan: Plan) -> None:
    group = len(plan.stick_groups)
    runs = lookup.crosscut_runs(group).rows
    found = sum(lookup.blanks_of(run.number).total for run in runs)
    assert found == sum(screen.quantity for screen in plan.screens)
    assert all(len(run.blanks) * run.count == lookup.blanks_of(run.number).total for run in runs)


@pytest.mark.parametrize(("wanted", "count"), [("", 25), ("b1-1", 4), ("wo-3", 4), ("301", 1), ("living b1", 24)])
def test_openings_are_found_by_label_unit_order_and_place(lookup: PlanLookup, wanted: str, count: int) -> None:
    assert lookup.openings(wanted).total == count


def test_a_search_that_fits_nothing_finds_nothing(lookup: PlanLookup) -> None:
    assert lookup.openings("%").total == 0
    assert lookup.stick_runs(0, "penthouse").rows == ()


def test_a_drawing_is_found_by_an_opening_on_it(lookup: PlanLookup) -> None:
    found = lookup.stick_runs(0, "B1-204-LR").rows
    assert 1 <= len(found) <= 4
    for run in found:
        assert any("B1-204-LR" in piece.label for piece in lookup.rails_of(run.number).rows)


@pytest.mark.parametrize("label", ["B1-204-LR left", "b1-204-lr LEFT", "type C (6 of 6) top", "type C (2 of 6) mesh"])
def test_a_piece_is_found_by_the_label_printed_on_it(lookup: PlanLookup, label: str) -> None:
    found = lookup.piece(label)
    assert found is not None
    assert found.label.casefold() == label.casefold()


@pytest.mark.parametrize("label", ["", "left", "nobody left", "type C (7 of 6) top", "B1-204-LR"])
def test_a_label_that_was_never_printed_is_no_piece(lookup: PlanLookup, label: str) -> None:
    assert lookup.piece(label) is None


def test_all_pieces_of_an_opening_are_listed_copy_by_copy(lookup: PlanLookup) -> None:
    (row,) = lookup.openings("type c").rows
    pieces = lookup.pieces_of(row.number)
    assert pieces.total == 6 * (len(dict(lookup.opening(row.number).rails)) + 1)  # type: ignore[union-attr]
    assert pieces.rows[0].label.startswith("type C (1 of 6)")


def test_a_stick_is_found_by_its_number(lookup: PlanLookup, plan: Plan) -> None:
    last = plan.stick_groups[0].sticks[-1].number
    found = lookup.page_of_stick(0, last)
    assert found is not None
    run = lookup.stick_run(found[1])
    assert run is not None
    assert run.first <= last < run.first + run.count
    assert lookup.page_of_stick(0, last + 1) is None


def test_the_summary_says_what_the_plan_says(lookup: PlanLookup, plan: Plan) -> None:
    summary = lookup.summary()
    assert summary.screens == sum(screen.quantity for screen in plan.screens)
    assert summary.proven is (plan.total == plan.bound)
    assert len(summary.purchases) == len(plan.purchases)
    assert [notice.kind for notice in summary.notices] == sorted(
        (notice.kind for notice in summary.notices), key=["caution", "review", "notice"].index
    )


def test_leftovers_are_those_of_the_plan(lookup: PlanLookup) -> None:
    leftovers, summary = lookup.leftovers(), lookup.summary()
    assert sum(row.count for row in leftovers.rows) == summary.offcuts + summary.mesh_pieces


def test_a_page_past_the_end_is_the_last_page(lookup: PlanLookup) -> None:
    assert lookup.openings("", 99).page == 1
    assert lookup.openings("", -3).page == 1


def test_a_long_list_comes_in_pages(tmp_path: Path) -> None:
    write_lookup(*large_plan(250), tmp_path / "plan.sqlite")
    lookup = PlanLookup(tmp_path / "plan.sqlite")
    pages = [lookup.openings("", page) for page in (1, 2, 3)]
    assert [len(page.rows) for page in pages] == [100, 100, 50]
    assert {page.pages for page in pages} == {3}
    assert lookup.page_of_stick(0, 500) == (10, 500)
    lookup.close()


def test_a_file_of_another_format_is_refused(tmp_path: Path) -> None:
    other = sqlite3.connect(tmp_path / "plan.sqlite")
    other.execute("PRAGMA user_version = 99")
    other.close()
    with pytest.raises(LookupFormatError, match=r"^this lookup file has format 99, not 1$"):
        PlanLookup(tmp_path / "plan.sqlite")
