"""The sample jobs say what their README promises, and their script writes the same bytes again."""

from pathlib import Path

import pytest

from sample_jobs import make_samples
from service.job_settings import JobSettings
from service.sheets.findings import Verdict
from service.sheets.read import read_job
from solver.limits import Limits
from solver.solve import solve

SAMPLES = Path(make_samples.__file__).parent
NAMES = ("two_windows", "five_windows", "apartment_block", "supplier_batch", "faulty")


def test_the_script_writes_the_committed_files_byte_by_byte(tmp_path: Path) -> None:
    make_samples.main(tmp_path)
    for name in NAMES:
        assert (tmp_path / f"{name}.xlsx").read_bytes() == (SAMPLES / f"{name}.xlsx").read_bytes(), name


@pytest.mark.parametrize(("name", "openings", "screens"), [("two_windows", 2, 2), ("apartment_block", 120, 120)])
def test_a_sample_job_reads_without_a_question(name: str, openings: int, screens: int) -> None:
    reading = read_job(SAMPLES / f"{name}.xlsx", JobSettings())
    assert [finding for finding in reading.findings if finding.verdict is not Verdict.NOTICE] == []
    assert reading.problem is not None
    assert len(reading.problem.openings) == openings
    assert sum(opening.quantity for opening in reading.problem.openings) == screens


def test_five_windows_are_cheapest_in_kits_and_loose_stock_together() -> None:
    problem = read_job(SAMPLES / "five_windows.xlsx", JobSettings()).problem
    assert problem is not None
    plan = solve(problem, Limits())
    assert (plan.total, plan.bound) == (10_588, 10_588)
    assert {way.name: way.cost for way in plan.alternatives} == {
        "this plan": 10_588,
        "one kit per window": 11_240,
        "loose stock by hand": 12_700,
    }
    assert any(use.buy for use in plan.kits)
    assert any(stick.bought and not stick.from_kit for group in plan.stick_groups for stick in group.sticks)


def test_the_suppliers_week_holds_sixty_orders_and_fifteen_hundred_screens() -> None:
    problem = read_job(SAMPLES / "supplier_batch.xlsx", JobSettings()).problem
    assert problem is not None
    assert len({opening.order for opening in problem.openings}) == 60
    assert sum(opening.quantity for opening in problem.openings) == 1_500
    assert sum(stick.leftover for stick in problem.catalogue.sticks) == 36
    assert sum(roll.leftover for roll in problem.catalogue.rolls) == 5


def test_every_faulty_row_of_the_faulty_workbook_is_said_and_the_good_one_is_read() -> None:
    reading = read_job(SAMPLES / "faulty.xlsx", JobSettings())
    assert reading.problem is None
    rows = {
        int("".join(filter(str.isdigit, finding.cell))) for finding in reading.findings if finding.sheet == "openings"
    }
    assert rows == set(range(5, 35))
    assert [opening.label for opening in reading.openings] == ["W1"]
