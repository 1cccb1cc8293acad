"""Sign-off, purchase list, pick lists, assembly and re-measure sheets say what the plan says."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from service.documents.frame_text import place_of
from service.documents.papers import PaperSetup
from service.documents.papers.assembly import write_assembly_sheets
from service.documents.papers.assembly_steps import assembly_steps
from service.documents.papers.buying import write_purchase_paper
from service.documents.papers.frame_drawing import bar_is_level
from service.documents.papers.pick_lists import write_pick_lists
from service.documents.papers.remeasure import write_remeasure_list
from service.documents.papers.sign_off import write_sign_off
from service.documents.visits import visits
from solver.catalogue import Corner, Hardware
from solver.lengths import Unit, inches
from solver.openings import Mounting, Parked, Side
from solver.plan import Kind, Need, Notice, Place, Plan, Rail
from solver.problem import Problem
from tests.service.documents.made_plans import inch_job, metric_job

TextOf = Callable[[Path], list[str]]
Write = Callable[[Problem, Plan, Path, PaperSetup], None]


@pytest.fixture
def written(tmp_path: Path, text_of: TextOf) -> Callable[[Write, Problem, Plan], list[str]]:
    """Return a function that writes a paper and reads it back, one line of words for each page."""

    def read(write: Write, problem: Problem, plan: Plan) -> list[str]:
        write(problem, plan, tmp_path / "paper.pdf", PaperSetup.usual(problem.unit))
        return [" ".join(page.split()) for page in text_of(tmp_path / "paper.pdf")]

    return read


Written = Callable[[Write, Problem, Plan], list[str]]


def test_every_size_is_there_to_be_signed(written: Written) -> None:
    (page,) = written(write_sign_off, *inch_job())
    for words in ("B2-101-LR", "33 1/8 47 1/4", "33 1/4 / 33 5/16", "type C", "20 24", "channel bottoms", "signature"):
        assert words in page
    assert "2 openings, 3 screens. Released for cutting with a saw cut of 1/8 in:" in page


def test_different_datums_of_width_and_height_are_both_said(written: Written) -> None:
    problem, plan = inch_job()
    lips = replace(problem.openings[0], width_datum=type(problem.openings[0].width_datum).CHANNEL_LIPS)
    (page,) = written(write_sign_off, replace(problem, openings=(lips, *problem.openings[1:])), plan)
    assert "width: channel" in page
    assert "height: channel" in page


def test_purchases_stand_by_supplier_with_their_money(written: Written) -> None:
    (page,) = written(write_purchase_paper, *inch_job())
    for words in (
        "Screen Supply",
        "3 stick 5/16 white 8 ft white 12.50 37.50",
        "from the rack",
        "rest of 70",
    ):
        assert words in page
    assert "Total 101.50 USD" in page


def test_a_supplier_with_all_prices_has_a_sum(written: Written) -> None:
    problem, plan = inch_job()
    (page,) = written(write_purchase_paper, problem, replace(plan, purchases=plan.purchases[:4]))
    assert "total of these lines 101.50 USD" in page


def test_without_prices_the_paper_asks_for_them(written: Written) -> None:
    (page,) = written(write_purchase_paper, *metric_job())
    assert "request for quotation" in page
    assert "Total" not in page


def test_each_order_has_a_pick_list_of_its_own(written: Written) -> None:
    first, second = written(write_pick_lists, *inch_job())
    assert "order A-17: 1 screen" in first
    assert "no order named: 2 screens" in second


def test_a_job_without_orders_is_picked_floor_by_floor(written: Written) -> None:
    problem, plan = inch_job()
    openings = tuple(replace(opening, order="") for opening in problem.openings)
    first, second = written(write_pick_lists, replace(problem, openings=openings), plan)
    assert "B2, floor 1: 1 screen" in first
    assert "all screens: 2 screens" in second


def test_a_pick_list_counts_equal_pieces_together(written: Written) -> None:
    _, page = written(write_pick_lists, *inch_job())
    for words in (
        "4 22 1/2 5/16 white",
        "4 18 1/2 5/16 white",
        "2 22 x 26 charcoal",
        "8 corner 5/16",
        "4 tension spring",
    ):
        assert words in page
    assert "Longest rail 22 1/2 in: it decides the carton." in page


def test_an_assembly_sheet_says_what_belongs_together(written: Written) -> None:
    first, second = written(write_assembly_sheets, *inch_job())
    for words in (
        "B2-101-LR",
        "make 1",
        "2 × 31 5/8 top and bottom",
        "2 × 45 3/4 left and right",
        "mesh 35 1/8 x 49 1/4",
    ):
        assert words in first
    assert "make 2" in second


def test_springs_and_tabs_stand_on_the_drawing(written: Written) -> None:
    page = written(write_assembly_sheets, *inch_job())[0]
    assert "spring spring" in page
    assert "tab tab" in page
    assert "seen from inside the room" in page


@pytest.mark.parametrize("side", list(Side))
@pytest.mark.parametrize("corner", list(Corner))
def test_springs_can_be_on_any_side(side: Side, corner: Corner, written: Written) -> None:
    problem, plan = inch_job()
    opening = replace(problem.openings[0], deepest_side=side)
    profile = replace(problem.catalogue.profiles[0], corner=corner)
    turned = replace(
        problem,
        openings=(opening, *problem.openings[1:]),
        catalogue=replace(problem.catalogue, profiles=(profile,)),
    )
    assert "spring" in written(write_assembly_sheets, turned, plan)[0]


def test_a_cross_bar_lies_the_way_its_length_says(written: Written) -> None:
    problem, plan = inch_job()
    screen, profile = plan.screens[0], problem.catalogue.profiles[0]
    assert bar_is_level(screen, inches(31, 5, 8), profile)
    assert not bar_is_level(screen, inches(45, 3, 4), profile)
    for length in (inches(31, 5, 8), inches(45, 3, 4)):
        barred = replace(screen, rails=(*screen.rails, Rail(place=Place.BAR, length=length)))
        page = written(write_assembly_sheets, problem, replace(plan, screens=(barred, *plan.screens[1:])))[0]
        assert "cross bar" in page


def test_every_assembly_sheet_carries_the_fall_caution(written: Written) -> None:
    for page in written(write_assembly_sheets, *inch_job()):
        assert "An insect screen does not stop a child from falling" in page


def test_a_caution_of_one_opening_stands_on_its_sheet_alone(written: Written) -> None:
    problem, plan = inch_job()
    lead = Notice(kind=Kind.CAUTION, topic="lead", message="Old paint may hold lead.", openings=("type C",))
    first, second = written(write_assembly_sheets, problem, replace(plan, notices=(lead,)))
    assert "Old paint" not in first
    assert "Old paint may hold lead." in second


def test_cautions_that_do_not_fit_go_on_a_second_page(written: Written) -> None:
    problem, plan = inch_job()
    long = "Ask the local authority before anything is fixed to this window, and write down who answered. " * 3
    many = tuple(
        Notice(kind=Kind.CAUTION, topic="x", message=f"Number {number}: {long}", openings=("type C",))
        for number in range(12)
    )
    pages = written(write_assembly_sheets, problem, replace(plan, notices=many))
    assert len(pages) == 3
    assert all(f"Number {number}:" in pages[1] + pages[2] for number in range(12))


@pytest.mark.parametrize(
    ("mounting", "word"),
    [
        (Mounting.PINS, "plunger pins"),
        (Mounting.CLIPS, "face clips"),
        (Mounting.SLIDING, "rollers"),
        (Mounting.MAGNETS, "magnetic strip"),
    ],
)
def test_each_mounting_has_its_step(mounting: Mounting, word: str) -> None:
    problem, plan = inch_job()
    opening = replace(problem.openings[0], mounting=mounting)
    assert any(word in step for step in assembly_steps(plan.screens[0], opening, Unit.INCH))


def test_a_cross_bar_is_clipped_in_before_squaring() -> None:
    problem, plan = inch_job()
    clips = Need(hardware=Hardware.BAR_CLIP, amount=2)
    screen = replace(plan.screens[0], needs=(*plan.screens[0].needs, clips))
    steps = assembly_steps(screen, problem.openings[0], Unit.MM)
    at = next(number for number, step in enumerate(steps) if "cross bar" in step)
    assert "Square the frame" in steps[at + 1]


def test_what_a_notice_doubts_is_measured_again(written: Written) -> None:
    (page,) = written(write_remeasure_list, *inch_job())
    assert "101 living B2-101-LR" in page
    assert "Look again." in page
    assert "type C" not in page


def test_every_reason_of_one_opening_stands_in_one_row() -> None:
    problem, plan = inch_job()
    more = Notice(kind=Kind.REVIEW, topic="square", message="Out of square.", openings=("B2-101-LR", "gone"))
    (visit,) = visits(problem, replace(plan, notices=(*plan.notices, more)))
    assert visit.why == "Look again.\nOut of square."


def test_rows_set_aside_are_walked_floor_by_floor(written: Written) -> None:
    parked = tuple(
        Parked(label=f"N{number}", reasons=("openings!C7: no reading",), building=building, floor=floor)
        for number, (building, floor) in enumerate([("B10", "2"), ("B2", "11"), ("B2", "9"), ("", "1")])
    )
    problem, plan = inch_job()
    (page,) = written(write_remeasure_list, replace(problem, parked=parked), replace(plan, notices=()))
    assert [name for name in page.split() if name in {"N0", "N1", "N2", "N3"}] == ["N3", "N2", "N1", "N0"]
    assert "no building named" in page
    assert "not planned" in page


def test_nothing_to_measure_again_is_said(written: Written) -> None:
    problem, plan = inch_job()
    (page,) = written(write_remeasure_list, problem, replace(plan, notices=()))
    assert "Nothing to measure again." in page


def test_a_total_says_which_lines_it_leaves_out(written: Written) -> None:
    problem, plan = inch_job()
    assert any(line.buy and line.cost is None for line in plan.purchases)
    (page,) = written(write_purchase_paper, problem, plan)
    assert re.search(r"Without \d+ lines? that ha(s|ve) no price\.", page)


def test_what_a_supplier_reads_does_not_say_what_is_saved(written: Written) -> None:
    (page,) = written(write_purchase_paper, *inch_job())
    assert "By hand" not in page


def test_a_bare_floor_or_unit_is_called_what_it_is() -> None:
    opening = inch_job()[0].openings[0]
    assert place_of(replace(opening, building="A", floor="3", unit="301", room="kitchen")) == (
        "A, floor 3, unit 301, kitchen"
    )
    assert place_of(replace(opening, building="", floor="3rd floor", unit="", room="")) == "3rd floor"
