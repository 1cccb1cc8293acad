"""Revisions, questions about a plan and the rack over real HTTP."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from httpx import Client, Response

from tests.service.running_service import RunningService, running_service
from tests.service.small_job import small_sheets

pytestmark = pytest.mark.slow
Answer = dict[str, Any]

SHEETS = small_sheets()


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data") as service:
        yield service


@pytest.fixture(scope="module")
def done(service: RunningService) -> Answer:
    job = json.dumps({"settings": {"unit": "in"}, "sheets": SHEETS}).encode()
    handed_in = service.hand_in(job, name="block.json").json()
    return service.await_end(handed_in["id"], "done", "failed", "waiting")


def ended(service: RunningService, answer: Response, seconds: float = 120) -> Answer:
    assert answer.status_code == 202, answer.text
    assert answer.headers["location"] == f"/jobs/{answer.json()['id']}"
    return service.await_end(answer.json()["id"], "done", "failed", seconds=seconds)


def answered(service: RunningService, answer: Response) -> Any:
    job = ended(service, answer)
    assert (job["state"], job["kind"]) == ("done", "question"), job
    return service.client.get(f"/jobs/{job['id']}/answer.json").json()["answer"]


def test_a_revision_is_a_job_of_its_own(service: RunningService, done: Answer) -> None:
    assert done["state"] == "done", done
    events = [
        {"event": "stick cut", "number": 1},
        {"event": "miscut", "opening": "A-2", "place": "left", "length": "45 1/2"},
    ]
    url = f"/jobs/{done['id']}/revisions"
    revised = ended(service, service.client.post(url, json={"events": events}, headers={"Idempotency-Key": "one"}))
    again = service.client.post(url, json={"events": events}, headers={"Idempotency-Key": "one"})
    assert again.json()["id"] == revised["id"]
    assert (revised["state"], revised["name"]) == ("done", f"{done['name']}, revision 1")
    assert (revised["kind"], revised["parent"]) == ("revision", done["id"])
    difference = service.client.get(f"/jobs/{revised['id']}/difference").json()
    assert difference["pinned_rails"] >= 2
    assert service.client.get(f"/jobs/{revised['id']}/plan.json").status_code == 200
    assert service.client.get(f"/jobs/{revised['id']}/stick-sheets.pdf").status_code == 200
    assert service.client.get(f"/jobs/{revised['id']}/labels-to-print-again.pdf").content.startswith(b"%PDF")
    orders = service.client.get(f"/page/jobs/{revised['id']}/orders")
    assert "what this revision buys beyond the plans before it" in orders.text
    # What the chain has bought so far is the first plan and this one, shared out to the cent.
    so_far = service.client.get(f"/jobs/{revised['id']}/difference").json()["bought_so_far"]
    assert [plan["revision"] for plan in so_far["plans"]] == [0, 1]
    shares = service.client.get(f"/jobs/{revised['id']}/shares", params={"whole_chain": True}, timeout=60).json()
    assert sum(share["total_cents"] for share in shares) == so_far["paid_cents"]
    whole = service.client.get(f"/page/jobs/{revised['id']}/orders", params={"of": "all"})
    assert "what all plans up to this one have bought" in whole.text
    assert "Bought so far" in service.client.get(f"/page/jobs/{revised['id']}/changes").text
    # A plan has one next revision; to go another way this one is taken back.
    fork = service.client.post(url, json={"events": [{"event": "everything cut"}]})
    assert fork.status_code == 409
    assert "revised already" in fork.json()["detail"]
    # And the chain goes on: everything is cut, nothing is left to do.
    last = ended(
        service,
        service.client.post(f"/jobs/{revised['id']}/revisions", json={"events": [{"event": "everything cut"}]}),
    )
    assert service.client.get(f"/jobs/{last['id']}/difference").json()["to_cut"] == []
    assert last["name"] == f"{done['name']}, revision 2"
    chain = service.client.get(f"/jobs/{last['id']}/revisions").json()["revisions"]
    assert [job["id"] for job in chain] == [done["id"], revised["id"], last["id"]]
    for job in (last, revised):
        assert service.client.post(f"/jobs/{job['id']}/take-back").json()["id"] == job["parent"]
    assert len(service.client.get(f"/jobs/{done['id']}/revisions").json()["revisions"]) == 1


def test_events_that_cannot_be_used_are_named(service: RunningService, done: Answer) -> None:
    events = [{"event": "stolen"}, {"event": "cancelled", "opening": "Z-9"}]
    job = ended(service, service.client.post(f"/jobs/{done['id']}/revisions", json={"events": events}))
    assert (job["state"], [one["id"] for one in job["problems"]]) == ("failed", ["events!1", "events!2"])


def test_a_short_shipment_gives_a_list_of_single_parts(service: RunningService, done: Answer) -> None:
    events = [
        {"event": "missing part", "opening": "A-1", "part": "corner", "quantity": 2},
        {"event": "missing part", "opening": "A-2", "place": "left"},
        {"event": "missing part", "opening": "A-2", "place": "mesh"},
    ]
    job = ended(service, service.client.post(f"/jobs/{done['id']}/revisions", json={"events": events}))
    assert job["state"] == "done", job
    assert "parts-to-send.pdf" in {document["name"] for document in job["documents"]}
    service.client.post(f"/jobs/{job['id']}/take-back").raise_for_status()


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
    labels = service.client.get(f"{url}/some-labels.pdf", params={"code": [found[0]["code"]]}, timeout=120)
    assert labels.content.startswith(b"%PDF")
    phases = answered(service, service.client.post(f"{url}/phases", json={}))
    assert (phases["difference_cents"], len(phases["phases"])) == (0, 2)
    ordered = answered(service, service.client.post(f"{url}/cutting-order", json={"due": {"2": "2026-12-01"}}))
    assert ordered["finished"] == ["2", "1"]
    assert sorted(one["stick"] for one in ordered["sequence"]) == list(range(1, len(ordered["sequence"]) + 1))
    body = {"choices": {"16 ft": "stick=5/16,white,16 ft,10.00"}}
    outcomes = answered(service, service.client.post(f"{url}/what-if", json=body))
    assert [outcome["more_than_first_cents"] for outcome in outcomes] == [None, -1_200]
    rough = {"play": "0 in", "count_per_mille": 0}
    budget = answered(service, service.client.post(f"{url}/estimate", json=rough))
    assert budget["low_cents"] <= budget["likely_cents"] <= budget["high_cents"]
    before = {"job": {"settings": {"unit": "in"}, "sheets": SHEETS}, **rough}
    assert answered(service, service.client.post("/estimates", json=before)) == budget
    substitutes = answered(service, service.client.post(f"{url}/substitutes", json={"stock": "8 ft"}))
    assert [hit["opening"] for hit in substitutes["hit"]] == ["A-1", "A-2"]
    wrong = ended(service, service.client.post(f"{url}/substitutes", json={"stock": "9 ft"}))
    assert (wrong["state"], wrong["problems"][0]["message"]) == ("failed", "no stick, roll or kit is called 9 ft")


def test_a_cutting_order_brings_its_papers_and_knows_its_orders(service: RunningService, done: Answer) -> None:
    url = f"/jobs/{done['id']}/cutting-order"
    job = ended(service, service.client.post(url, json={"due": {"2": "2026-12-01"}}))
    names = {document["name"] for document in job["documents"]}
    assert {"answer.json", "stick-sheets.pdf", "mesh-sheets.pdf", "labels.pdf", "stick-cuts.csv"} <= names
    assert service.client.get(f"/jobs/{job['id']}/stick-sheets.pdf").content.startswith(b"%PDF")
    assert f"/jobs/{job['id']}/stick-sheets.pdf" in service.client.get(f"/page/jobs/{job['id']}").text
    unknown = ended(service, service.client.post(url, json={"due": {"7": "2026-12-01"}}))
    assert unknown["state"] == "failed"
    assert unknown["problems"][0]["message"] == "due: the job has no order 7; it has 1, 2"


def test_a_job_takes_its_leftovers_from_the_rack_by_itself(service: RunningService) -> None:
    rack = service.client
    piece = {"profile": "5/16", "colour": "white", "length": "46 1/4 in"}
    codes = {one["id"] for one in rack.post("/rack", json={"pieces": [piece, piece]}).json()["pieces"]}
    body = json.dumps({"settings": {"unit": "in"}, "sheets": SHEETS | {"openings": SHEETS["openings"][:1]}}).encode()
    settings = json.dumps({"unit": "in", "use_rack": True})
    job = service.await_end(service.hand_in(body, name="small.json", settings=settings).json()["id"])
    assert job["state"] == "done", job
    assert {one["id"] for one in found(rack, job, "reserved")} == codes
    assert [one["mesh"] for one in found(rack, job, "expected")] == ["", "glass 18x16"]
    # One of them is cut: it is used. The other is not where the list says it is: it is scrapped and bought instead.
    plan = rack.get(f"/jobs/{job['id']}/plan.json").json()
    sticks = {stick["stock"]: stick["number"] for group in plan["stick_groups"] for stick in group["sticks"]}
    cut, lost = sorted(codes)
    events = [{"event": "stick cut", "number": sticks[cut]}, {"event": "not there", "stock": lost}]
    now = ended(service, rack.post(f"/jobs/{job['id']}/revisions", json={"events": events}))
    assert now["state"] == "done", now
    assert [one["id"] for one in found(rack, job, "used")] == [cut]
    assert [one["id"] for one in found(rack, job, "scrapped")] == [lost]
    assert [line["stock"] for line in rack.get(f"/jobs/{now['id']}/difference").json()["buy"]] == ["8 ft"]
    # Taken back, the rack is as it was; cancelled jobs hold nothing.
    rack.post(f"/jobs/{now['id']}/take-back").raise_for_status()
    assert {one["id"] for one in found(rack, job, "reserved")} == codes
    assert {one["state"] for one in rack.delete(f"/rack/reservations/{job['id']}").json()["pieces"]} == {"free"}


def test_a_revision_whose_leftover_went_elsewhere_ends_and_says_what_to_report(service: RunningService) -> None:
    rack = service.client
    job, codes = with_rack(service, ["46 1/4 in"] * 2, SHEETS["openings"][:1])
    lost, kept = sorted(codes)
    # Given back by hand and promised to another job, though the plan still cuts it.
    rack.delete(f"/rack/reservations/{job['id']}").raise_for_status()
    rack.post("/rack/reservations", json={"job": "another", "pieces": [lost]}).raise_for_status()
    url = f"/jobs/{job['id']}/revisions"
    failed = ended(service, rack.post(url, json={"events": []}))
    assert failed["state"] == "failed"
    assert f"{lost} (reserved by another)" in failed["trouble"]
    assert "report it as not there" in failed["trouble"]
    now = ended(service, rack.post(url, json={"events": [{"event": "not there", "stock": lost}]}))
    assert now["state"] == "done", now
    assert [one["id"] for one in found(rack, job, "reserved")] == [kept]
    assert [one["id"] for one in found(rack, {"id": "another"}, "reserved")] == [lost]
    for name in (job["id"], "another"):
        rack.delete(f"/rack/reservations/{name}").raise_for_status()


def test_leftovers_noted_as_used_do_not_stand_in_the_way_of_a_revision(service: RunningService) -> None:
    rack = service.client
    job, _ = with_rack(service, ["46 1/4 in"] * 2, SHEETS["openings"][:1])
    rack.post(f"/rack/reservations/{job['id']}/used").raise_for_status()
    # The plan still means to cut them: nobody has said yet which sticks are cut.
    now = ended(service, rack.post(f"/jobs/{job['id']}/revisions", json={"events": []}))
    assert now["state"] == "done", now
    rack.delete(f"/rack/reservations/{job['id']}").raise_for_status()


def test_a_plan_comes_back_only_with_its_leftovers(service: RunningService) -> None:
    rack = service.client
    job, codes = with_rack(service, ["92 in"] * 3, SHEETS["openings"])
    cancelled = [{"event": "cancelled", "opening": "A-1"}]
    now = ended(service, rack.post(f"/jobs/{job['id']}/revisions", json={"events": cancelled}))
    freed = codes - {one["id"] for one in found(rack, job, "reserved")}
    assert freed
    rack.post("/rack/reservations", json={"job": "another", "pieces": sorted(freed)}).raise_for_status()
    refused = rack.post(f"/jobs/{now['id']}/take-back")
    assert refused.status_code == 409
    assert "reserved by another" in refused.json()["detail"]
    assert rack.get(f"/jobs/{now['id']}").json()["state"] == "done"
    rack.delete("/rack/reservations/another").raise_for_status()
    rack.post(f"/jobs/{now['id']}/take-back").raise_for_status()
    assert {one["id"] for one in found(rack, job, "reserved")} == codes
    rack.delete(f"/rack/reservations/{job['id']}").raise_for_status()
    rack.post("/rack/scrapped", json={"pieces": sorted(codes)}).raise_for_status()


def test_a_job_that_lost_its_leftovers_cannot_report_them_as_cut(service: RunningService) -> None:
    rack = service.client
    job, codes = with_rack(service, ["46 1/4 in"] * 2, SHEETS["openings"][:1])
    rack.delete(f"/rack/reservations/{job['id']}").raise_for_status()
    rack.post("/rack/reservations", json={"job": "another", "pieces": sorted(codes)}).raise_for_status()
    url = f"/jobs/{job['id']}/revisions"
    failed = ended(service, rack.post(url, json={"events": [{"event": "everything cut"}]}), seconds=240)
    assert failed["state"] == "failed"
    assert "reserved by another" in failed["trouble"]
    rack.delete("/rack/reservations/another").raise_for_status()
    # Free again they may be cut; what is left of them stays expected though the job gives everything back.
    now = ended(service, rack.post(url, json={"events": [{"event": "everything cut"}]}))
    assert now["state"] == "done", now
    assert {one["id"] for one in found(rack, job, "used")} == codes
    expected = {one["id"] for one in found(rack, job, "expected")}
    rack.delete(f"/rack/reservations/{job['id']}").raise_for_status()
    assert {one["id"] for one in found(rack, job, "expected")} == expected
    rack.post("/rack/scrapped", json={"pieces": sorted(expected)}).raise_for_status()


def test_a_plan_does_not_come_back_that_cuts_a_leftover_confirmed_since(service: RunningService) -> None:
    rack = service.client
    body = json.dumps({"settings": {"unit": "in"}, "sheets": SHEETS | {"openings": SHEETS["openings"][:1]}}).encode()
    settings = json.dumps({"unit": "in", "use_rack": True})
    others = [one["id"] for one in rack.get("/rack").json()["pieces"]]
    rack.post("/rack/scrapped", json={"pieces": others}).raise_for_status()
    job = service.await_end(service.hand_in(body, name="one.json", settings=settings).json()["id"])
    # All is cut; a small screen more is cut from what is left of the second stick.
    more = {"event": "added", "opening": "A-9", "like": "A-1", "width": "8", "height": "9"}
    events = [{"event": "everything cut"}, more]
    second = ended(service, rack.post(f"/jobs/{job['id']}/revisions", json={"events": events}))
    gone = {"events": [{"event": "cancelled", "opening": "A-9"}]}
    third = ended(service, rack.post(f"/jobs/{second['id']}/revisions", json=gone))
    assert (second["state"], third["state"]) == ("done", "done"), (second, third)
    longest = max(found(rack, job, "expected"), key=lambda one: (bool(one["profile"]), one["length_mm"]))
    rack.post("/rack/measured", json={"lengths": {longest["id"]: "32 in"}}).raise_for_status()
    refused = rack.post(f"/jobs/{third['id']}/take-back")
    assert refused.status_code == 409, refused.text
    assert longest["id"] in refused.json()["detail"]
    assert "confirmed since" in refused.json()["detail"]
    rack.delete(f"/rack/reservations/{job['id']}").raise_for_status()
    rack.post("/rack/scrapped", json={"pieces": [longest["id"]]}).raise_for_status()


def with_rack(service: RunningService, lengths: list[str], openings: Any) -> tuple[Answer, set[str]]:
    """A job planned with these leftovers and no others, all of which it takes."""
    others = [one["id"] for one in service.client.get("/rack").json()["pieces"]]
    service.client.post("/rack/scrapped", json={"pieces": others}).raise_for_status()
    pieces = [{"profile": "5/16", "colour": "white", "length": length} for length in lengths]
    codes = {one["id"] for one in service.client.post("/rack", json={"pieces": pieces}).json()["pieces"]}
    body = json.dumps({"settings": {"unit": "in"}, "sheets": SHEETS | {"openings": openings}}).encode()
    settings = json.dumps({"unit": "in", "use_rack": True})
    job = service.await_end(service.hand_in(body, name="small.json", settings=settings).json()["id"])
    assert {one["id"] for one in found(service.client, job, "reserved")} == codes
    return job, codes


def test_jobs_at_once_never_get_the_same_leftover(service: RunningService) -> None:
    rack = service.client
    piece = {"profile": "5/16", "colour": "white", "length": "92 in"}
    codes = {one["id"] for one in rack.post("/rack", json={"pieces": [piece] * 3}).json()["pieces"]}
    body = json.dumps({"settings": {"unit": "in"}, "sheets": SHEETS}).encode()
    settings = json.dumps({"unit": "in", "use_rack": True})
    jobs = [service.hand_in(body, name=f"job {n}.json", settings=settings).json()["id"] for n in range(4)]
    ended_jobs = [service.await_end(job, seconds=120) for job in jobs]
    assert [job["state"] for job in ended_jobs] == ["done"] * 4
    taken: list[str] = []
    for job in jobs:
        plan = rack.get(f"/jobs/{job}/plan.json").json()
        mine = [s["stock"] for group in plan["stick_groups"] for s in group["sticks"] if s["stock"] in codes]
        assert codes & {one["id"] for one in found(rack, {"id": job}, "reserved")} == set(mine)
        taken += mine
    assert len(taken) == len(set(taken))
    assert set(taken) == codes
    for job in jobs:
        rack.delete(f"/rack/reservations/{job}").raise_for_status()
    rack.post("/rack/scrapped", json={"pieces": sorted(codes)}).raise_for_status()


def found(rack: Client, job: Answer, state: str) -> list[Answer]:
    pieces: list[Answer] = rack.get("/rack", params={"state": state, "job": job["id"]}).json()["pieces"]
    return pieces


def test_the_rack_over_http(service: RunningService, done: Answer) -> None:
    rack = service.client
    piece = {"profile": "5/16", "colour": "white", "length": "60 1/2 in", "place": "bay 3"}
    added = rack.post("/rack", json={"pieces": [piece, piece | {"length": "11 in"}]}).json()["pieces"]
    assert [(one["length_tape"], one["state"]) for one in added] == [("60 1/2", "free")]
    code = added[0]["id"]
    assert [p["id"] for p in rack.get("/rack", params={"length": "60 in", "profile": "5/16"}).json()["pieces"]] == [
        code
    ]
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
    bare = rack.post("/rack", json={"pieces": [piece | {"length": "60"}]})
    assert (bare.status_code, bare.json()["detail"]) == (
        422,
        "60: inches or millimetres? write 60 in or 60 mm",
    )


@pytest.mark.parametrize("taken", [True, False], ids=["reserved by another job", "free"])
def test_a_confirmed_leftover_is_no_stock_of_the_job_that_left_it_over(service: RunningService, taken: bool) -> None:
    rack = service.client
    job, _ = with_rack(service, ["46 1/4 in"] * 2, SHEETS["openings"][:1])
    cut = ended(service, rack.post(f"/jobs/{job['id']}/revisions", json={"events": [{"event": "everything cut"}]}))
    roll_end = next(one for one in found(rack, job, "expected") if one["mesh"])
    others = {one["id"]: "0" for one in found(rack, job, "expected") if one["id"] != roll_end["id"]}
    rack.post("/rack/measured", json={"lengths": others | {roll_end["id"]: "1100 in"}}).raise_for_status()
    if taken:
        rack.post("/rack/reservations", json={"job": "another", "pieces": [roll_end["id"]]}).raise_for_status()
    added = {"event": "added", "opening": "A-9", "like": "A-1", "width": "33 1/4", "height": "47 3/8"}
    now = ended(service, rack.post(f"/jobs/{cut['id']}/revisions", json={"events": [added]}))
    assert now["state"] == "done", now
    plan = rack.get(f"/jobs/{now['id']}/plan.json").json()
    rolls = [roll["stock"] for group in plan["roll_groups"] for roll in group["rolls"]]
    assert rolls == (["48"] if taken else [roll_end["id"]])
    # What is expected now is the rest of what this revision cuts, and nothing of what was confirmed.
    assert sum(bool(one["mesh"]) for one in found(rack, job, "expected")) == 1
    assert [one["id"] for one in found(rack, job, "reserved")] == ([] if taken else [roll_end["id"]])
    for name in (job["id"], "another"):
        rack.delete(f"/rack/reservations/{name}").raise_for_status()
