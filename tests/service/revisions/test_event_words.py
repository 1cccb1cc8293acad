"""What a shop writes or scans becomes an event."""

from __future__ import annotations

from pathlib import Path

import pytest

from service.errors import RefusedError, SheetError
from service.revisions.event_rows import numbered_rows
from service.revisions.event_sheet import events_of, events_of_sheet
from service.revisions.record import read_revision, revision_bytes
from solver.events import (
    Added,
    Cancelled,
    ChangeOrder,
    CrosscutCut,
    DamagedStick,
    EverythingCut,
    Miscut,
    RailCut,
    Remeasured,
    RollFlaw,
    ShortDelivery,
    SpoiltBlank,
    StickCut,
)
from solver.lengths import inches
from solver.plan import Place
from solver.revision import Revision
from solver.solve import solve
from tests.builders import COLOUR, MESH, PROFILE, limits, opening, problem


@pytest.fixture(scope="module")
def revision() -> Revision:
    job = problem(opening(), opening("A-102", quantity=2))
    return Revision(number=0, problem=job, plan=solve(job, limits()))


def test_every_event_can_be_written_in_a_row(revision: Revision) -> None:
    rows: list[dict[str, object]] = [
        {"event": "Stick cut", "number": 1},
        {"event": "rail cut", "opening": "A-102", "copy": 2, "place": "top"},
        {"event": "crosscut cut", "mesh": MESH, "number": "1"},
        {"event": "everything cut"},
        {"event": "miscut", "code": "1.1.l", "length": "40 1/2"},
        {"event": "spoilt blank", "opening": "A-101"},
        {"event": "spoilt blank", "code": "2.2.M", "width": "20", "length": "30 1/4"},
        {"event": "damaged stick", "profile": PROFILE, "colour": COLOUR, "number": 2, "sound": "40; 20 1/2"},
        {"event": "roll flaw", "number": 1, "starts at": "12 ft", "length": "3 in"},
        {"event": "remeasured", "opening": "A-101", "width": "33; 33 1/8", "height": "47"},
        {"event": "change order", "opening": "A-101", "quantity": 3, "colour": "bronze"},
        {"event": "cancelled", "opening": "A-101"},
        {"event": "added", "opening": "A-103", "like": "A-101", "width": "30"},
        {"event": "short delivery", "stock": "8 ft", "missing": 1, "gone": "yes"},
    ]
    sort = {"profile": PROFILE, "colour": COLOUR}
    assert events_of(rows, revision) == (
        StickCut(**sort, number=1),
        RailCut(opening="A-102", copy=2, place=Place.TOP),
        CrosscutCut(mesh=MESH, number=1),
        EverythingCut(),
        Miscut(opening="A-101", copy=1, place=Place.LEFT, length=inches(40, 1, 2)),
        SpoiltBlank(opening="A-101", copy=1),
        SpoiltBlank(opening="A-102", copy=2, across=inches(20), along=inches(30, 1, 4)),
        DamagedStick(**sort, number=2, sound=(inches(40), inches(20, 1, 2))),
        RollFlaw(mesh=MESH, number=1, starts_at=inches(144), length=inches(3)),
        Remeasured(opening="A-101", widths=(inches(33), inches(33, 1, 8)), heights=(inches(47),)),
        ChangeOrder(opening="A-101", quantity=3, colour="bronze"),
        Cancelled(opening="A-101"),
        Added(opening=opening("A-103", width=inches(30))),
        ShortDelivery(stock="8 ft", missing=1, gone=True),
    )


def test_every_row_that_cannot_be_used_is_named(revision: Revision) -> None:
    rows = [
        {"event": "stolen"},
        {"event": "miscut", "opening": "A-101", "place": "left"},
        {"event": "rail cut", "opening": "A-101", "place": "middle"},
        {"event": "cancelled", "opening": "Z-9"},
        {"event": "stick cut", "number": "one"},
        {"event": "miscut", "code": "9.9.T", "length": "40"},
        {"event": "miscut", "code": "1.1.T", "length": "27 9/8"},
    ]
    with pytest.raises(RefusedError) as refused:
        events_of(rows, revision)
    assert [finding.cell for finding in refused.value.findings] == ["1", "2", "3", "4", "5", "6", "7"]
    messages = [finding.message for finding in refused.value.findings]
    assert messages[0].startswith("stolen: write one of stick cut, rail cut")
    assert messages[1:4] == [
        "miscut: length is missing",
        "place middle: write one of top, bottom, left, right, cross bar",
        "Z-9: the job has no such opening",
    ]


def test_a_sheet_of_events_is_read_below_its_heading(revision: Revision, tmp_path: Path) -> None:
    sheet = tmp_path / "floor.csv"
    sheet.write_text(
        "who,event,number,opening,length,place\nm.,stick cut,2,,,\n,,,,,\nm.,miscut,,A-101,40,left\n", encoding="utf-8"
    )
    assert [type(event) for event in events_of_sheet(*numbered_rows(sheet), revision)] == [StickCut, Miscut]


def test_a_list_of_scanned_codes_is_rails_cut(revision: Revision, tmp_path: Path) -> None:
    sheet = tmp_path / "scanned.csv"
    sheet.write_text("code,time\n1.1.T,10:31\n2.2.L,10:32\n", encoding="utf-8")
    assert events_of_sheet(*numbered_rows(sheet), revision) == (
        RailCut(opening="A-101", copy=1, place=Place.TOP),
        RailCut(opening="A-102", copy=2, place=Place.LEFT),
    )


def test_a_sheet_without_events_says_what_one_looks_like(revision: Revision, tmp_path: Path) -> None:
    sheet = tmp_path / "wrong.csv"
    sheet.write_text("label,width\nA,30\n", encoding="utf-8")
    with pytest.raises(SheetError, match="no sheet has a column event"):
        events_of_sheet(*numbered_rows(sheet), revision)


def test_a_revision_written_and_read_is_the_same(revision: Revision) -> None:
    again, history = read_revision(revision_bytes(revision, ["revision 1: a miscut"]), "revision.json.gz")
    assert (again.problem, again.plan, history) == (revision.problem, revision.plan, ["revision 1: a miscut"])


@pytest.mark.parametrize("content", [b"", b"{}", b"\x1f\x8b\x08\x00broken"])
def test_what_is_no_revision_is_refused(content: bytes) -> None:
    with pytest.raises(SheetError, match="this is no revision"):
        read_revision(content, "x")


def test_a_quantity_that_no_shop_cuts_is_refused_at_its_row(revision: Revision) -> None:
    with pytest.raises(RefusedError, match="quantity 900000000 is too many; write at most 1000000"):
        events_of([{"event": "change order", "opening": "A-101", "quantity": 900_000_000}], revision)
