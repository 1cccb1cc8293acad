"""Several job files planned as one."""

from dataclasses import replace
from pathlib import Path

from click.testing import CliRunner

from service.cli import screenbatch
from service.pooling import FileReading, pooled
from service.sheets.findings import Finding, JobReading, Verdict
from solver.lengths import Ticks
from solver.problem import Problem
from tests.builders import opening, problem, stick

USUAL = ("sticks: the usual sizes without prices, as none are listed",)


def file(name: str, content: Problem | None, *findings: Finding) -> FileReading:
    return FileReading(name=name, reading=JobReading(findings=findings, problem=content))


def pool(*files: FileReading) -> JobReading:
    return pooled(files, "week 47")


def errors(reading: JobReading) -> list[str]:
    return [finding.message for finding in reading.findings if finding.verdict is Verdict.ERROR]


def test_openings_of_the_same_label_are_told_apart_by_their_files() -> None:
    order = problem(opening("A-101"))
    both = pool(file("order 7.xlsx", order), file("order 8.xlsx", order)).problem
    assert both is not None
    assert [(o.label, o.order) for o in both.openings] == [("order 7 A-101", "order 7"), ("order 8 A-101", "order 8")]
    assert both.catalogue == order.catalogue


def test_an_order_that_is_named_keeps_its_name() -> None:
    both = pool(file("a.csv", problem(opening(order="4711"))), file("b.csv", problem(opening()))).problem
    assert both is not None
    assert [o.order for o in both.openings] == ["4711", "b"]


def test_stock_that_one_file_lists_stands_in_for_the_usual_stock_of_the_others() -> None:
    listed = problem(opening())
    usual = listed.catalogue
    unpriced = replace(usual, sticks=(stick("usual 8 ft", price=None),))
    both = pool(file("a.csv", replace(listed, catalogue=unpriced, assumed=USUAL)), file("b.csv", listed)).problem
    assert both is not None
    assert both.catalogue.sticks == usual.sticks
    assert both.assumed == ()


def test_stock_of_one_name_that_differs_between_files_is_refused() -> None:
    cheap, dear = problem(opening()), problem(opening())
    dear = replace(dear, catalogue=replace(dear.catalogue, sticks=(replace(dear.catalogue.sticks[0], on_hand=7),)))
    reading = pool(file("a.csv", cheap), file("b.csv", dear))
    assert reading.problem is None
    assert errors(reading) == [
        f"{cheap.catalogue.sticks[0].name} (sticks) differs between the files; give it alike, or in one file only"
    ]


def test_every_file_keeps_its_own_sizing_rules() -> None:
    tight, loose = problem(opening()), problem(opening())
    loose = replace(loose, rules=replace(loose.rules, bottoms_clearance=Ticks(2_032)))
    both = pool(file("tight.csv", tight), file("loose.csv", loose)).problem
    assert both is not None
    assert [both.rules_of(o).bottoms_clearance for o in both.openings] == [tight.rules.bottoms_clearance, 2_032]


def test_a_fault_in_one_file_stops_the_pool_and_names_the_file() -> None:
    fault = Finding(sheet="openings", cell="B2", verdict=Verdict.ERROR, message="TBD is no length")
    reading = pool(file("order 7.csv", problem(opening())), file("order 8.csv", None, fault))
    assert reading.problem is None
    assert [finding.address for finding in reading.findings] == ["order 8 openings!B2"]


def test_several_files_on_the_command_line_are_one_job(tmp_path: Path) -> None:
    for name in ("order 7.csv", "order 8.csv"):
        (tmp_path / name).write_text("label,width,height\nA,30,40\n")
    files = [str(tmp_path / name) for name in ("order 7.csv", "order 8.csv")]
    ran = CliRunner().invoke(screenbatch, ["plan", *files, "--out", str(tmp_path / "plan"), "--unit", "in"])
    assert ran.exit_code == 0, ran.output
    assert ran.stdout.startswith("2 files")
