"""What the saw and the cutting table are told agrees with the plan, piece by piece."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from service.documents.alike import runs_of_alike_sticks
from service.documents.papers import PaperSetup
from service.documents.papers.mesh_sheets import write_mesh_sheets
from service.documents.papers.stick_sheets import write_stick_sheets
from service.documents.plan_json import plan_document
from service.documents.plan_models import Length
from solver.lengths import inches
from solver.plan import MeshLeftover, Plan
from solver.problem import Problem
from tests.service.documents.made_plans import inch_job, metric_job
from tests.speed.document_jobs import large_job

TextOf = Callable[[Path], list[str]]
Job = Callable[[], tuple[Problem, Plan]]


def crowded() -> tuple[Problem, Plan]:
    """Return a job whose rails are too short on paper for large numbers inside them."""
    return large_job(30)


def types() -> tuple[Problem, Plan]:
    """Return a job of long runs of sticks cut alike."""
    return large_job(60, types=True)


JOBS = pytest.mark.parametrize("job", [inch_job, metric_job, crowded, types])


def shown(length: Length, problem: Problem) -> str:
    return length.tape if problem.unit.value == "in" else f"{length.mm:g}"


def words(pages: list[str]) -> str:
    return " ".join(" ".join(pages).split())


@JOBS
def test_every_rail_is_named_with_its_length_and_its_mark(job: Job, tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = job()
    write_stick_sheets(problem, plan, tmp_path / "sticks.pdf", PaperSetup.usual(problem.unit))
    text = words(text_of(tmp_path / "sticks.pdf"))
    for group in plan_document(problem, plan).stick_groups:
        for stick in group.sticks:
            for rail in stick.rails:
                assert rail.piece in text
                assert re.search(rf"(?<![\d/]){re.escape(shown(rail.length, problem))}(?![\d/])", text), rail


def test_the_mark_of_a_rail_is_where_it_ends_on_the_stick(tmp_path: Path, text_of: TextOf) -> None:
    write_stick_sheets(*inch_job(), tmp_path / "sticks.pdf", PaperSetup())
    text = words(text_of(tmp_path / "sticks.pdf"))
    for piece, mark in (("B2-101-LR left", "46"), ("B2-101-LR right", "91 7/8"), ("type C (2 of 2) bottom", "55 3/4")):
        assert f"{piece} {mark}" in text


def test_every_stick_says_what_is_kept_and_what_is_scrap(tmp_path: Path, text_of: TextOf) -> None:
    write_stick_sheets(*inch_job(), tmp_path / "sticks.pdf", PaperSetup())
    text = words(text_of(tmp_path / "sticks.pdf"))
    assert [text.count(word) for word in ("scrap 4 in", "scrap 9 5/8 in", "scrap 9 1/4 in", "keep 14 1/8 in")] == [
        1
    ] * 4


def test_a_leftover_starts_at_its_clean_end(tmp_path: Path, text_of: TextOf) -> None:
    write_stick_sheets(*inch_job(), tmp_path / "sticks.pdf", PaperSetup())
    text = words(text_of(tmp_path / "sticks.pdf"))
    assert "rest of 70, 70 in long, from the rack · start at the clean end" in text
    assert text.count("cut 1/4 in off the first end") == 3


def test_sticks_cut_alike_are_drawn_once_with_a_count(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = metric_job()
    write_stick_sheets(problem, plan, tmp_path / "sticks.pdf", PaperSetup.usual(problem.unit))
    text = words(text_of(tmp_path / "sticks.pdf"))
    assert re.search("2 ?×", text)
    assert "sticks 1–2" in text
    assert text.count("scrap 165 mm") == 1
    assert "1) Küche (2 of 2) left 2) Küche (2 of 2) right" in text


def test_rails_too_short_for_large_numbers_stand_in_one_large_line(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = crowded()
    write_stick_sheets(problem, plan, tmp_path / "sticks.pdf", PaperSetup())
    rail, other = plan.screens[0].rails[0].length, plan.screens[0].rails[2].length
    assert (rail, other) == (inches(22, 1, 2), inches(36, 9, 16))
    assert "2 × 22 1/2, 2 × 36 9/16" in words(text_of(tmp_path / "sticks.pdf"))


def test_the_name_of_the_profile_is_repeated_on_every_page(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = crowded()
    write_stick_sheets(problem, plan, tmp_path / "sticks.pdf", PaperSetup())
    pages = text_of(tmp_path / "sticks.pdf")
    assert len(pages) > 1
    assert all("5/16 white" in page for page in pages)


@JOBS
def test_every_blank_is_named_on_the_mesh_sheets(job: Job, tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = job()
    write_mesh_sheets(problem, plan, tmp_path / "mesh.pdf", PaperSetup.usual(problem.unit))
    text = words(text_of(tmp_path / "mesh.pdf"))
    for group in plan_document(problem, plan).roll_groups:
        for roll in group.rolls:
            for crosscut in roll.crosscuts:
                assert shown(crosscut.length, problem) in text
                assert all(shown(strip.width, problem) in text for strip in crosscut.strips)
                assert all(blank.piece in text for strip in crosscut.strips for blank in strip.blanks)


def test_a_crosscut_is_cut_then_ripped_then_trimmed(tmp_path: Path, text_of: TextOf) -> None:
    write_mesh_sheets(*inch_job(), tmp_path / "mesh.pdf", PaperSetup())
    text = words(text_of(tmp_path / "mesh.pdf"))
    second = text[text.index("crosscut 2") :]
    at = [second.index(word) for word in ("cut 44 in", "rip 26", "2 × 22", "1a) type C (1 of 2) mesh")]
    assert at == sorted(at)
    assert "the roll is used up to 93 1/4 in" in second
    assert "from the selvage edge at 1/4, 26 1/4" in second
    assert "22 turned" in second


def test_the_end_of_a_roll_is_kept_by_name(tmp_path: Path, text_of: TextOf) -> None:
    write_mesh_sheets(*inch_job(), tmp_path / "mesh.pdf", PaperSetup())
    assert "left on the roll: 206 3/4 in x 36 in, keep it and mark it" in words(text_of(tmp_path / "mesh.pdf"))


def test_a_side_strip_worth_keeping_is_said(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = inch_job()
    side = MeshLeftover(stock="36 x 25 ft", roll=1, crosscut=2, width=inches(9, 3, 4), length=inches(44))
    group = replace(plan.roll_groups[0], leftovers=(side,))
    write_mesh_sheets(problem, replace(plan, roll_groups=(group,)), tmp_path / "mesh.pdf", PaperSetup())
    assert "keep 9 3/4 x 44" in words(text_of(tmp_path / "mesh.pdf"))


def test_crosscuts_cut_alike_are_drawn_once_with_a_count(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = metric_job()
    write_mesh_sheets(problem, plan, tmp_path / "mesh.pdf", PaperSetup.usual(problem.unit))
    text = words(text_of(tmp_path / "mesh.pdf"))
    assert re.search("2 ?× crosscuts 1–2", text)
    assert "1a) Küche (2 of 2) mesh used to 2505" in text
    assert "running length" in text


def test_a_stick_used_up_says_so(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = inch_job()
    first, *others = plan.stick_groups[0].sticks
    group = replace(plan.stick_groups[0], sticks=(replace(first, offcut=inches(0)), *others))
    write_stick_sheets(problem, replace(plan, stick_groups=(group,)), tmp_path / "sticks.pdf", PaperSetup())
    assert words(text_of(tmp_path / "sticks.pdf")).count("nothing left") == 1


def test_a_roll_used_up_says_so(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = inch_job()
    roll = replace(plan.roll_groups[0].rolls[0], left=inches(0), kept=False)
    group = replace(plan.roll_groups[0], rolls=(roll,))
    write_mesh_sheets(problem, replace(plan, roll_groups=(group,)), tmp_path / "mesh.pdf", PaperSetup())
    assert "nothing left on the roll" in words(text_of(tmp_path / "mesh.pdf"))


def test_many_blanks_in_a_strip_are_all_named(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = inch_job()
    roll = plan.roll_groups[0].rolls[0]
    strip = roll.crosscuts[1].strips[0]
    small = tuple(replace(strip.blanks[0], copy=copy, across=inches(2), along=inches(1)) for copy in range(1, 31))
    crowded_cut = replace(roll.crosscuts[1], strips=(replace(strip, width=inches(2), blanks=small),))
    group = replace(plan.roll_groups[0], rolls=(replace(roll, crosscuts=(roll.crosscuts[0], crowded_cut)),))
    write_mesh_sheets(problem, replace(plan, roll_groups=(group,)), tmp_path / "mesh.pdf", PaperSetup())
    text = words(text_of(tmp_path / "mesh.pdf"))
    assert "30 × 1" in text
    assert all(f"type C ({copy} of 2) mesh" in text for copy in range(1, 31))


def test_sticks_that_go_on_over_the_page_are_not_counted_again(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = types()
    write_stick_sheets(problem, plan, tmp_path / "sticks.pdf", PaperSetup.usual(problem.unit))
    text = words(text_of(tmp_path / "sticks.pdf"))
    runs = [run for group in plan.stick_groups for run in runs_of_alike_sticks(group.sticks) if len(run) > 1]
    drawn = len(re.findall(r"sticks \d+–\d+", text))
    assert drawn > len(runs)
    assert text.count("continued") == drawn - len(runs)


def test_a_long_colour_does_not_run_into_the_words_beside_it(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = inch_job()
    colour = "traffic white, silk, powder coated twice, batch of the year before last"
    group = replace(plan.stick_groups[0], colour=colour)
    write_stick_sheets(problem, replace(plan, stick_groups=(group,)), tmp_path / "sticks.pdf", PaperSetup())
    (page,) = text_of(tmp_path / "sticks.pdf")
    assert re.search(rf"{colour} +\d+ stick", page)


def test_marks_in_millimetres_are_given_to_the_tenth(tmp_path: Path, text_of: TextOf) -> None:
    problem, plan = metric_job()
    write_stick_sheets(problem, plan, tmp_path / "sticks.pdf", PaperSetup.usual(problem.unit))
    assert not re.search(r"\d\.\d\d", words(text_of(tmp_path / "sticks.pdf")))
