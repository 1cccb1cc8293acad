"""Who may ask, over real HTTP."""

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from service.cli import screenbatch
from tests.service.running_service import RunningService, running_service

ROWS = b"label,width,height\nA,30,40\n"


def keys(*arguments: str, data: Path) -> str:
    ran = CliRunner().invoke(screenbatch, ["keys", *arguments, "--data", str(data)])
    assert ran.exit_code == 0, ran.output
    return ran.stdout.strip()


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("service") / "data"


@pytest.fixture(scope="module")
def shop(data: Path) -> dict[str, str]:
    return {"Authorization": f"Bearer {keys('create', '--tenant', 'shop', data=data)}"}


@pytest.fixture(scope="module")
def other_shop(data: Path) -> dict[str, str]:
    return {"Authorization": f"Bearer {keys('create', '--tenant', 'other-shop', data=data)}"}


@pytest.fixture(scope="module")
def locked(data: Path, shop: dict[str, str]) -> Iterator[RunningService]:
    with running_service(data, keys_needed="true", log="json") as service:
        yield service


def test_a_service_that_others_can_reach_does_not_start_without_keys(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "service", "serve", "--host", "0.0.0.0", "--data", str(tmp_path)]
    ran = subprocess.run(command, capture_output=True, timeout=30, check=False)
    assert ran.returncode == 2
    assert b"screenbatch keys create" in ran.stderr


@pytest.mark.parametrize("path", ["/jobs", "/jobs/0123", "/jobs/0123/plan.json", "/template.xlsx", "/nothing"])
def test_without_a_key_nothing_is_told(locked: RunningService, path: str) -> None:
    refused = locked.client.get(path)
    assert refused.status_code == 401
    assert refused.headers["www-authenticate"].startswith("Bearer")
    assert refused.headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize("token", ["wrong", "sb_", "sb_0123456789ab_" + "A" * 43, "x" * 10_000])
def test_a_wrong_key_is_refused(locked: RunningService, token: str) -> None:
    assert locked.client.get("/jobs", headers={"Authorization": f"Bearer {token}"}).status_code == 401


def test_supervisors_and_readers_of_the_description_need_no_key(locked: RunningService) -> None:
    for path in ("/health/live", "/health/ready", "/openapi.json", "/schemas/plan.json"):
        assert locked.client.get(path).status_code == 200


def test_a_tenant_sees_its_own_jobs_only(
    locked: RunningService, shop: dict[str, str], other_shop: dict[str, str]
) -> None:
    made = locked.client.post("/jobs", files={"file": ("a.csv", ROWS)}, headers=shop)
    assert made.status_code == 202
    path = made.headers["location"]
    assert locked.client.get(path, headers=shop).status_code == 200
    for answer in (
        locked.client.get(path, headers=other_shop),
        locked.client.delete(path, headers=other_shop),
        locked.client.get(f"{path}/plan.json", headers=other_shop),
        locked.client.get(f"{path}/events", headers=other_shop),
        locked.client.post(f"{path}/answers", json={}, headers=other_shop),
    ):
        assert answer.status_code == 404
    assert locked.client.get("/jobs", headers=other_shop).json()["jobs"] == []


def test_no_route_shows_one_tenant_what_is_anothers(
    locked: RunningService, shop: dict[str, str], other_shop: dict[str, str]
) -> None:
    """Every route of the description and every page that has a job in its address."""
    made = locked.client.post(
        "/jobs", files={"file": ("a.csv", ROWS)}, data={"settings": '{"unit": "in"}'}, headers=shop
    )
    job = made.json()["id"]
    while locked.client.get(f"/jobs/{job}", headers=shop).json()["state"] in {"queued", "checking", "solving"}:
        time.sleep(0.2)
    paths = locked.client.get("/openapi.json").json()["paths"]
    bodies = {"revisions": {"events": []}, "what-if": {"choices": {"a": "turned"}}, "substitutes": {"stock": "x"}}
    shown = []
    for path, operations in paths.items():
        if "{job_id}" not in path:
            continue
        for method in operations:
            real = path.replace("{job_id}", job)
            query = {"length": "10", "codes": "A", "code": "A"}
            body = bodies.get(path.rpartition("/")[2], {}) if method == "post" else None
            answer = locked.client.request(method, real, params=query, json=body, headers=other_shop)
            if answer.status_code not in {404, 422}:
                shown.append((method, path, answer.status_code))
    pages = ["", "/sticks", "/mesh", "/openings", "/leftovers", "/progress", "/floor", "/compare", "/orders"]
    for page in pages:
        answer = locked.client.get(f"/page/jobs/{job}{page}", headers={**other_shop, "accept": "text/html"})
        if answer.status_code != 404:
            shown.append(("get", page, answer.status_code))
    assert shown == []


def test_the_description_says_that_a_key_is_needed(locked: RunningService) -> None:
    document = locked.client.get("/openapi.json").json()
    assert document["components"]["securitySchemes"] == {"key": {"type": "http", "scheme": "bearer"}}
    assert {"401", "429"} <= set(document["paths"]["/jobs/{job_id}"]["get"]["responses"])
    assert document["paths"]["/health/ready"]["get"]["security"] == []


def test_a_browser_can_send_its_key_in_a_cookie(locked: RunningService, shop: dict[str, str]) -> None:
    token = shop["Authorization"].removeprefix("Bearer ")
    assert locked.client.get("/jobs", headers={"Cookie": f"screenbatch-key={token}"}).status_code == 200


def test_a_revoked_key_is_refused_at_once(locked: RunningService, data: Path) -> None:
    token = keys("create", "--tenant", "leaver", "--note", "old office", data=data)
    headers = {"Authorization": f"Bearer {token}"}
    assert locked.client.get("/jobs", headers=headers).status_code == 200
    keys("revoke", token.split("_")[1], data=data)
    assert locked.client.get("/jobs", headers=headers).status_code == 401
    assert "old office" in keys("list", data=data)


def test_a_key_is_kept_nowhere_in_clear(locked: RunningService, shop: dict[str, str], data: Path) -> None:
    locked.client.get("/jobs", headers=shop)
    secret = shop["Authorization"].rpartition("_")[2].encode()
    kept = [path for path in data.rglob("*") if path.is_file()] + [locked.log]
    assert not [path for path in kept if secret in path.read_bytes()]


def test_every_request_but_health_is_logged_with_who_asked(locked: RunningService, shop: dict[str, str]) -> None:
    answer = locked.client.get("/jobs/feedbeef", headers=shop)
    lines = [json.loads(line) for line in locked.log.read_text().splitlines() if line.startswith("{")]
    (line,) = [line for line in lines if line.get("path") == "/jobs/feedbeef"]
    assert (line["event"], line["tenant"], line["status"], line["method"]) == ("access", "shop", 404, "GET")
    assert line["request"] == answer.headers["x-request-id"]
    assert not [line for line in lines if str(line.get("path", "")).startswith("/health")]


def test_on_loopback_a_page_of_another_site_gets_nothing(tmp_path: Path) -> None:
    with running_service(tmp_path / "data") as service:
        assert service.client.get("/jobs", headers={"Host": "evil.example"}).status_code == 421
        foreign = {"Origin": "https://evil.example"}
        answer = service.client.post("/jobs", files={"file": ("a.csv", ROWS)}, headers=foreign)
        assert answer.status_code == 403
        own = {"Origin": f"http://127.0.0.1:{service.port}"}
        assert service.client.get("/jobs", headers=own).status_code == 200


def test_who_asks_too_fast_is_told_when_to_ask_again(tmp_path: Path) -> None:
    with running_service(tmp_path / "data", requests_at_once="10", requests_per_second="0.1") as service:
        answers = [service.client.get("/jobs") for _ in range(12)]
        assert [answer.status_code for answer in answers].count(429) == 2
        assert 0 < int(answers[-1].headers["retry-after"]) <= 10
        assert service.client.get("/health/live").status_code == 200


def test_a_database_address_that_is_none_is_told_in_words(tmp_path: Path) -> None:
    for address in ("nonsense", "mysql://me:secret@db/jobs", "postgresql+nothing://db/jobs"):
        ran = CliRunner().invoke(screenbatch, ["keys", "list", "--database", address, "--data", str(tmp_path)])
        assert ran.exit_code == 2
        assert "the database address cannot be used" in ran.output
        assert "secret" not in ran.output


def test_the_data_folder_is_its_owners_alone(locked: RunningService, data: Path) -> None:
    assert data.stat().st_mode & 0o077 == 0
