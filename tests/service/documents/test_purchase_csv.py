"""The purchase list as a file for other programs."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

from service.documents.purchase_csv import HEADINGS, write_purchase_list
from solver.plan import Plan
from solver.problem import Problem
from tests.service.documents.made_plans import inch_job, metric_job


def lines(problem: Problem, plan: Plan, folder: Path) -> list[dict[str, str]]:
    write_purchase_list(problem, plan, folder / "list.csv")
    with (folder / "list.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_the_file_says_that_it_is_utf_8(tmp_path: Path) -> None:
    write_purchase_list(*inch_job(), tmp_path / "list.csv")
    assert (tmp_path / "list.csv").read_bytes().startswith(b"\xef\xbb\xbfwhat,stock,buy")


def test_every_purchase_is_a_line(tmp_path: Path) -> None:
    found = lines(*inch_job(), tmp_path)
    assert [line["buy"] for line in found] == ["3", "0", "1", "1", "8096.25"]
    assert tuple(found[0]) == HEADINGS


def test_packs_say_what_they_hold_and_what_is_left(tmp_path: Path) -> None:
    corners = lines(*inch_job(), tmp_path)[3]
    assert (corners["each holds"], corners["needed"], corners["left over"], corners["unit"]) == (
        "25 pieces",
        "12",
        "13",
        "pieces",
    )


def test_lengths_are_exact_millimetres(tmp_path: Path) -> None:
    mesh = lines(*metric_job(), tmp_path)[1]
    assert (mesh["buy"], mesh["each holds"], mesh["needed"], mesh["unit"]) == ("6", "500 mm", "2510", "mm")


def test_a_supplier_that_looks_like_a_formula_stays_text(tmp_path: Path) -> None:
    problem, plan = inch_job()
    hostile = replace(plan.purchases[0], supplier="=cmd|' /C calc'!A0")
    assert lines(problem, replace(plan, purchases=(hostile,)), tmp_path)[0]["supplier"] == "'=cmd|' /C calc'!A0"
