"""The rack as a sheet, and as a job's stock."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from service.errors import RefusedError
from service.job_settings import JobSettings
from service.jobs.sql_store import sql_engine
from service.leftovers.records import NewPiece, PieceState, Search
from service.leftovers.stock import left_over, taken_from_rack, with_rack
from service.planning import read
from service.rack.lists import lengths_of, pieces_of, write_rack
from service.rack.migrate import VERSION_TABLE, up_to_date
from service.rack.rack import Rack
from service.rack.tables import METADATA
from service.sheets.leftover_list import read_leftovers
from solver.check import faults
from solver.lengths import Ticks, Unit, inches
from solver.solve import solve
from tests.builders import limits, problem


@pytest.fixture
def rack(tmp_path: Path) -> Iterator[Rack]:
    opened = Rack(f"sqlite:///{tmp_path / 'jobs.sqlite3'}")
    yield opened
    opened.close()


STICK = NewPiece(profile="5/16", colour="white", length=inches(60, 1, 2), place="bay 3", source="job 7")
MESH = NewPiece(mesh="glass 18x16", width=inches(48), length=inches(100))


@pytest.mark.parametrize("name", ["rack.csv", "rack.xlsx"])
def test_a_list_written_out_reads_back_the_same(rack: Rack, tmp_path: Path, name: str) -> None:
    rack.add("we", [STICK, MESH])
    path = tmp_path / name
    write_rack(path, rack.search("we", Search()), 0.0, Unit.INCH)
    again = pieces_of(*read_leftovers(path, Unit.INCH))
    assert sorted((piece.profile, piece.mesh, piece.width, piece.length) for piece in again) == [
        ("", "glass 18x16", inches(48), inches(100)),
        ("5/16", "", 0, inches(60, 1, 2)),
    ]


def test_a_shops_own_list_counts_pieces_alike(tmp_path: Path) -> None:
    path = tmp_path / "offcuts.csv"
    path.write_text("profile,colour,length,qty\n5/16,white,41 3/8,3\n", encoding="utf-8")
    assert [piece.length for piece in pieces_of(*read_leftovers(path, Unit.INCH))] == [inches(41, 3, 8)] * 3


def test_every_row_that_cannot_be_used_is_named(tmp_path: Path) -> None:
    path = tmp_path / "leftovers.csv"
    path.write_text("name,profile,mesh,length\nA,5/16,glass,30\nB,,,30\nC,5/16,,\n", encoding="utf-8")
    with pytest.raises(RefusedError) as refused:
        pieces_of(*read_leftovers(path, Unit.INCH))
    assert [finding.cell for finding in refused.value.findings] == ["2", "3", "4"]


def test_real_lengths_come_back_on_the_list_that_was_handed_out(rack: Rack, tmp_path: Path) -> None:
    expected = rack.expect("we", "job 1", [STICK, STICK, STICK])
    path = tmp_path / "measured.csv"
    lines = [f"{expected[0].id},60 3/8,1", f"{expected[1].id},60 1/2,0"]
    path.write_text("name,length,count\n" + "\n".join(lines) + "\n", encoding="utf-8")
    lengths = lengths_of(*read_leftovers(path, Unit.INCH), expected)
    assert lengths == {expected[0].id: inches(60, 3, 8), expected[1].id: Ticks(0)}


def test_a_length_for_a_piece_nobody_expects_is_refused(rack: Rack, tmp_path: Path) -> None:
    path = tmp_path / "measured.csv"
    path.write_text("name,length\nL2222,60 3/8\n", encoding="utf-8")
    with pytest.raises(RefusedError, match="L2222: no such piece is expected"):
        lengths_of(*read_leftovers(path, Unit.INCH), rack.search("we", Search(state=None)))


def test_a_job_plans_with_the_rack_and_names_what_it_takes(rack: Rack) -> None:
    pieces = rack.add("we", [NewPiece(profile="5/16", colour="white", length=inches(92)), MESH])
    job = with_rack(problem(), pieces)
    plan = solve(job, limits())
    assert faults(job, plan) == []
    # Two uprights of 45 3/4 and a saw cut come to 91 5/8, and one trim of 1/4 makes 91 7/8; the mesh saves a roll.
    assert set(taken_from_rack(plan, [piece.id for piece in pieces])) == {piece.id for piece in pieces}
    assert plan.total == 800


def test_what_a_job_leaves_over_is_what_it_did_not_find_there(rack: Rack) -> None:
    pieces = rack.add("we", [NewPiece(profile="5/16", colour="white", length=inches(13))])
    job = with_rack(problem(), pieces)
    left = left_over(job, solve(job, limits()))
    assert inches(13) not in [piece.length for piece in left]
    kept = [p for p in left if p.profile and p.length > inches(12)]
    assert [(p.length, p.both_ends_clean) for p in kept] == [(inches(32, 1, 4), False)]


def test_exported_leftovers_are_stock_of_the_next_job_without_the_service(rack: Rack, tmp_path: Path) -> None:
    rack.add("we", [STICK])
    path = tmp_path / "leftovers.csv"
    write_rack(path, rack.search("we", Search(state=PieceState.FREE)), 0.0, Unit.INCH)
    text = path.read_text(encoding="utf-8-sig")
    assert text.splitlines()[0].startswith("name,profile,colour,mesh,width,length,count,note")
    assert read(path, JobSettings()).problem is None  # alone it is no job, but its columns are those of a job's sheet


@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_all_steps_together_make_the_declared_tables(
    database: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    sqlite = f"sqlite:///{tmp_path / 'rack.sqlite3'}"
    engine = sql_engine(sqlite if database == "sqlite" else request.getfixturevalue("fresh_postgresql"))
    up_to_date(engine)
    up_to_date(engine)
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"version_table": VERSION_TABLE})
        assert compare_metadata(context, METADATA) == []
    engine.dispose()
