"""Running groups say cost and bound in money where there are prices, and in material where there are none."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from service.job_settings import JobSettings
from service.jobs.files import FolderFiles
from service.jobs.records import Attachment, Job, Part, PartState, Task
from service.record_json import to_json
from service.web.part_measure import PartMeasures
from service.web.progress_words import part_lines
from solver.lengths import inches
from solver.limits import Limits, Progress
from solver.money import Cents
from solver.parts.rails import stick_group
from solver.parts.record import BasketPart, BlankPart, RailPart
from solver.problem import Problem
from solver.solve import parts, sized
from tests.service.web.planned_jobs import solved_block
from tests.service.web.test_progress_words import view


def given(problem: Problem, files: FolderFiles, kind: type) -> tuple[Job, Part]:
    one = next(part for part in parts(problem, sized(problem)) if isinstance(part, kind))
    upload = Attachment(name="a.xlsx", digest="0" * 64, size=1)
    kept = files.put(to_json(Problem, problem))
    job = Job(id="j", tenant="t", name="a", settings=JobSettings(), upload=upload, created=0, changed=0, problem=kept)
    payload = files.put(to_json(RailPart | BlankPart | BasketPart, one))
    return job, Part(
        id="j-1",
        job="j",
        tenant="t",
        number=1,
        name="rails",
        task=Task.SOLVE,
        turn=0,
        state=PartState.RUNNING,
        payload=payload,
    )


def unpriced(problem: Problem) -> Problem:
    sticks = tuple(replace(stick, price=None, bundle=None, bundle_price=None) for stick in problem.catalogue.sticks)
    return replace(problem, catalogue=replace(problem.catalogue, sticks=sticks))


def test_with_prices_a_running_group_counts_money(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    job, part = given(solved_block()[0], files, RailPart)
    measures = PartMeasures(files)
    shown = replace(view(replace(part, cost=41_940, bound=41_000)), job=job)
    (line,) = part_lines(shown, measures.of)
    assert line.worth == "419.40 USD; cannot be under 410.00 USD"


def test_without_prices_it_counts_length_of_sticks(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    job, part = given(unpriced(solved_block()[0]), files, RailPart)
    shown = replace(view(replace(part, cost=inches(1_200), bound=inches(1_200))), job=job)
    (line,) = part_lines(shown, PartMeasures(files).of)
    assert "100 ft" in line.worth
    assert "under" not in line.worth


def test_before_the_first_plan_there_is_no_cost(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    job, part = given(solved_block()[0], files, RailPart)
    (line,) = part_lines(replace(view(part), job=job), PartMeasures(files).of)
    assert line.worth == ""


def test_a_part_whose_file_is_gone_shows_its_gap_alone(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    job, part = given(solved_block()[0], files, RailPart)
    files.remove(part.payload)
    (line,) = part_lines(replace(view(replace(part, cost=2_000, bound=1_000)), job=job), PartMeasures(files).of)
    assert line.worth == ""
    assert line.gap == "at most 100 % above the best possible"


@pytest.mark.parametrize("price", [500, 750])
def test_what_a_search_reports_is_money_and_no_lots_of_it(price: int) -> None:
    problem = solved_block()[0]
    sticks = tuple(
        replace(stick, price=Cents(price), bundle=None, bundle_price=None) for stick in problem.catalogue.sticks
    )
    priced = replace(problem, catalogue=replace(problem.catalogue, sticks=tuple(sticks)))
    rails = next(part for part in parts(priced, sized(priced)) if isinstance(part, RailPart))
    told: list[Progress] = []
    group = stick_group(rails, Limits(report=told.append))
    assert told
    assert told[-1].cost == group.proof.cost
