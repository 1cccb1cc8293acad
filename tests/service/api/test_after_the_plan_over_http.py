"""Revisions, questions about a plan and the rack over real HTTP."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from tests.service.running_service import RunningService, running_service

pytestmark = pytest.mark.slow
Answer = dict[str, Any]

SHEETS = {
    "openings": [
        {
            "label": f"A-{number}",
            "order": str(number),
            "phase": str(number),
            "width": "33 1/4",
            "height": "47 3/8",
            "measured between": "channel bottoms",
            "profile": "5/16",
            "colour": "white",
            "mesh": "glass 18x16",
        }
        for number in (1, 2)
    ],
    "profiles": [
        {"name": "5/16", "thickness": "5/16 in", "face": "3/4 in", "corner": "square cut", "corner leg": "3/4 in"}
    ],
    "sticks": [{"name": "8 ft", "profile": "5/16", "colour": "white", "length": "96", "price": 8}],
    "rolls": [{"name": "48", "mesh": "glass 18x16", "width": "48", "length": "100 ft", "price": 60}],
}


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data") as service:
        yield service


@pytest.fixture(scope="module")
def done(service: RunningService) -> Answer:
    job = json.dumps({"settings": {"unit": "in"}, "sheets": SHEETS}).encode()
    handed_in = service.hand_in(job, name="block.json").json()
    return service.await_end(handed_in["id"], "done", "failed", "waiting")


def test_a_revision_is_a_job_of_its_own(service: RunningService, done: Answer) -> None:
    assert done["state"] == "done", done
    events = [
        {"event": "stick cut", "number": 1},
        {"event": "miscut", "opening": "A-2", "place": "left", "length": "45 1/2"},
    ]
    answer = service.client.post(f"/jobs/{done['id']}/revisions", json={"events": events}, timeout=120)
    assert answer.status_code == 201, answer.text
    revised = service.client.get(answer.headers["location"]).json()
    assert (revised["state"], revised["name"]) == ("done", f"{done['name']}, revision 1")
    assert answer.json()["difference"]["pinned_rails"] >= 2
    assert service.client.get(f"/jobs/{revised['id']}/difference").json() == answer.json()["difference"]
    assert service.client.get(f"/jobs/{revised['id']}/plan.json").status_code == 200
    assert service.client.get(f"/jobs/{revised['id']}/stick-sheets.pdf").status_code == 200
    # And the chain goes on: everything is cut, nothing is left to do.
    last = service.client.post(
        f"/jobs/{revised['id']}/revisions", json={"events": [{"event": "everything cut"}]}, timeout=120
    ).json()
    assert last["difference"]["to_cut"] == []
    assert service.client.get(f"/jobs/{last['job']}").json()["name"] == f"{done['name']}, revision 2"


def test_events_that_cannot_be_used_are_named(service: RunningService, done: Answer) -> None:
    events = [{"event": "stolen"}, {"event": "cancelled", "opening": "Z-9"}]
    answer = service.client.post(f"/jobs/{done['id']}/revisions", json={"events": events}, timeout=120)
    assert answer.status_code == 422
    assert [error["where"] for error in answer.json()["errors"]] == ["events!1", "events!2"]


def test_a_job_without_a_plan_is_not_revised(service: RunningService) -> None:
    job = service.hand_in(b"label,width,height\nA,oops,40\n", settings='{"unit": "in"}').json()["id"]
    service.await_end(job, "failed", "waiting")
    answer = service.client.post(f"/jobs/{job}/revisions", json={"events": []})
    assert answer.status_code == 409


def test_questions_about_a_plan(service: RunningService, done: Answer) -> None:
    url = f"/jobs/{done['id']}"
    shares = service.client.get(f"{url}/shares", timeout=120).json()
    assert [(share["order"], share["total_cents"]) for share in shares] == [("1", 4_600), ("2", 4_600)]
    found = service.client.get(f"{url}/lost-label", params={"length": "45 3/4"}, timeout=120).json()
    assert {one["place"] for one in found} == {"left", "right"}
    phases = service.client.get(f"{url}/phases", timeout=120).json()
    assert (phases["difference_cents"], len(phases["phases"])) == (0, 2)
    ordered = service.client.post(f"{url}/cutting-order", json={"due": {"2": "2026-12-01"}}, timeout=120).json()
    assert ordered["finished"] == ["2", "1"]
    body = {"choices": {"16 ft": "stick=5/16,white,16 ft,10.00"}}
    outcomes = service.client.post(f"{url}/what-if", json=body, timeout=120).json()
    assert [outcome["more_than_first_cents"] for outcome in outcomes] == [None, -1_200]
    budget = service.client.post(f"{url}/estimate", json={"play": "0 in", "count_per_mille": 0}, timeout=120).json()
    assert budget["low_cents"] <= budget["likely_cents"] <= budget["high_cents"]
    substitutes = service.client.get(f"{url}/substitutes", params={"stock": "8 ft"}, timeout=120).json()
    assert [hit["opening"] for hit in substitutes["hit"]] == ["A-1", "A-2"]
    wrong = service.client.get(f"{url}/substitutes", params={"stock": "9 ft"}, timeout=120)
    assert wrong.status_code == 422


def test_the_rack_over_http(service: RunningService, done: Answer) -> None:
    rack = service.client
    piece = {"profile": "5/16", "colour": "white", "length": "60 1/2 in", "place": "bay 3"}
    added = rack.post("/rack", json={"pieces": [piece, piece | {"length": "11"}]}).json()["pieces"]
    assert [(one["length_tape"], one["state"]) for one in added] == [("60 1/2", "free")]
    code = added[0]["id"]
    assert [p["id"] for p in rack.get("/rack", params={"length": "60", "profile": "5/16"}).json()["pieces"]] == [code]
    assert rack.post("/rack/reservations", json={"job": "job 1", "pieces": [code]}).status_code == 200
    taken = rack.post("/rack/reservations", json={"job": "job 2", "pieces": [code]})
    assert (taken.status_code, taken.json()["type"]) == (409, "urn:screenbatch:problem:piece-taken")
    assert rack.delete("/rack/reservations/job 1").json()["pieces"][0]["state"] == "free"
    assert code in rack.get("/rack/leftovers.csv").text
    # A finished job of the service says itself what it takes and what it leaves over.
    assert rack.post("/rack/reservations", json={"job": done["id"]}, timeout=60).json()["pieces"] == []
    expected = rack.get("/rack", params={"state": "expected", "job": done["id"]}).json()["pieces"]
    assert expected
    lengths = {one["id"]: "0" for one in expected[1:]} | {expected[0]["id"]: "32 1/8 in"}
    measured = rack.post("/rack/measured", json={"lengths": lengths}).json()["pieces"]
    assert [one["length_tape"] for one in measured if one["state"] == "free"] == ["32 1/8"]
    assert rack.put("/rack/rules", json={"least_stick": "40 in"}).json()["least_stick"] == "40 in"
    assert len(rack.post("/rack/scrapped", json={"by_rule": True}).json()["pieces"]) == 1
    assert rack.post("/rack/scrapped", json={"pieces": ["L2222222"]}).status_code == 404
    assert rack.post("/rack", json={"pieces": [piece | {"length": "27 9/8"}]}).status_code == 422
