"""Files for machines: stick cuts for a saw stop, crosscuts for a cutting table."""

from __future__ import annotations

import csv
import io
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from service.documents.crosscut_dxf import roll_drawing, write_crosscut_drawings
from service.documents.plan_index import PlanIndex
from service.documents.stick_csv import HEADINGS, write_stick_cuts
from solver.plan import Plan
from solver.problem import Problem
from tests.service.documents.made_plans import inch_job, metric_job


def cuts(problem: Problem, plan: Plan, folder: Path) -> list[dict[str, str]]:
    write_stick_cuts(problem, plan, folder / "cuts.csv")
    with (folder / "cuts.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def drawings(problem: Problem, plan: Plan, folder: Path) -> dict[str, Any]:
    write_crosscut_drawings(problem, plan, folder / "drawings.zip")
    with zipfile.ZipFile(folder / "drawings.zip") as archive:
        return {name: ezdxf.read(io.StringIO(archive.read(name).decode("cp1252"))) for name in archive.namelist()}


def boxes(drawing: Any, layer: str) -> list[tuple[float, ...]]:
    """Return the outlines of a layer as left, bottom, right, top."""
    found: list[tuple[float, ...]] = []
    for line in drawing.modelspace().query(f'POLYLINE[layer=="{layer}"]'):
        points = [tuple(vertex.dxf.location)[:2] for vertex in line.vertices]
        xs, ys = zip(*points, strict=True)
        found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def test_a_saw_gets_every_cut_in_order_with_exact_positions(tmp_path: Path) -> None:
    lines = cuts(*inch_job(), tmp_path)
    assert tuple(lines[0]) == HEADINGS
    assert [line["stick"] for line in lines] == ["1"] * 2 + ["2"] * 3 + ["3"] * 4 + ["4"] * 3
    assert (lines[0]["starts_at_mm"], lines[0]["rail_mm"], lines[0]["ends_at_mm"]) == ("6.35", "1162.05", "1168.4")


def test_rails_kerfs_trim_and_offcut_add_up_to_the_stick(tmp_path: Path) -> None:
    for job in (inch_job, metric_job):
        for line in cuts(*job(), tmp_path):
            if line["offcut_mm"]:
                spent = float(line["ends_at_mm"]) + float(line["kerf_mm"]) + float(line["offcut_mm"])
                assert spent == pytest.approx(float(line["stick_mm"]))


def test_the_offcut_stands_on_the_last_cut_of_its_stick(tmp_path: Path) -> None:
    last = cuts(*inch_job(), tmp_path)[-1]
    assert (last["offcut_mm"], last["offcut_kept"], last["code"]) == ("358.775", "yes", "2.2.B")


def test_a_saw_reads_no_formulas(tmp_path: Path) -> None:
    problem, plan = inch_job()
    group = replace(plan.stick_groups[0], profile="=1+1")
    assert cuts(problem, replace(plan, stick_groups=(group,)), tmp_path)[0]["profile"] == "'=1+1"


def test_each_roll_is_a_drawing_in_millimetres(tmp_path: Path) -> None:
    (name,) = drawings(*inch_job(), tmp_path)
    assert name == "1-charcoal-roll-1-mm.dxf"


def test_blanks_are_drawn_where_they_are_cut(tmp_path: Path) -> None:
    (drawing,) = drawings(*inch_job(), tmp_path).values()
    left, width, height = 6.35, 35.125 * 25.4, 49.25 * 25.4
    first, second, third = boxes(drawing, "BLANK")
    assert first == pytest.approx((left, 0, left + width, height))
    assert second == pytest.approx((left, height, left + 26 * 25.4, height + 22 * 25.4))
    assert third == pytest.approx((left, second[3], second[2], second[3] + 22 * 25.4))


def test_cuts_lie_on_layers_of_their_kind(tmp_path: Path) -> None:
    (drawing,) = drawings(*inch_job(), tmp_path).values()
    counts = {
        layer: len(drawing.modelspace().query(f'LINE[layer=="{layer}"]')) for layer in ("CROSSCUT", "RIP", "TRIM")
    }
    assert counts == {"CROSSCUT": 2, "RIP": 4, "TRIM": 1}


def test_the_next_crosscut_starts_behind_what_a_crosscut_loses(tmp_path: Path) -> None:
    (drawing,) = drawings(*metric_job(), tmp_path).values()
    assert [box[1] for box in boxes(drawing, "BLANK")] == [0, 1255]
    assert boxes(drawing, "ROLL") == [(0, 0, 1000, 2510)]


def test_names_in_any_script_keep_the_drawing_readable() -> None:
    problem, plan = metric_job()
    roll = plan.roll_groups[0].rolls[0]
    (crosscut, _) = roll.crosscuts
    blank = replace(crosscut.strips[0].blanks[0], opening="Кухня\n0\nEOF")
    named = replace(crosscut, strips=(replace(crosscut.strips[0], blanks=(blank,)),))
    drawn = roll_drawing(replace(roll, crosscuts=(named,)), PlanIndex(problem, plan)).decode("cp1252")
    (text,) = ezdxf.read(io.StringIO(drawn)).modelspace().query("TEXT")
    assert "0 EOF mesh" in text.dxf.text


def test_two_meshes_of_like_names_get_two_files(tmp_path: Path) -> None:
    problem, plan = inch_job()
    groups = tuple(replace(plan.roll_groups[0], mesh=mesh) for mesh in ("Grau/1", "grau 1", "网"))
    names = list(drawings(problem, replace(plan, roll_groups=groups), tmp_path))
    assert names == ["1-grau-1-roll-1-mm.dxf", "2-grau-1-roll-1-mm.dxf", "3-mesh-roll-1-mm.dxf"]


def test_written_twice_it_is_the_same_archive(tmp_path: Path) -> None:
    for name in ("one.zip", "two.zip"):
        write_crosscut_drawings(*inch_job(), tmp_path / name)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
