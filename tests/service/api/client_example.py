"""A small typed client: hand a job in, wait, fetch a document. It needs nothing but Python and httpx."""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx


@dataclass(frozen=True)
class PlannedJob:
    """A job as the service last told of it."""

    id: str
    state: str
    problems: list[dict[str, Any]]


class ScreenbatchClient:
    """Speaks to one service; ``key`` is needed where the service asks for one."""

    def __init__(self, address: str = "http://127.0.0.1:8000", key: str = "") -> None:
        headers = {"Authorization": f"Bearer {key}"} if key else {}
        self._http = httpx.Client(base_url=address, headers=headers, timeout=60)

    def __enter__(self) -> ScreenbatchClient:
        """Return this client, to be closed at the end of the block."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the connection."""
        self._http.close()

    def plan(self, file: Path, settings: str = "{}", *, order: str = "") -> PlannedJob:
        """Hand a file in and wait until its job has ended or needs answers; ``order`` makes a repeat harmless."""
        answer = self._http.post(
            "/jobs",
            files={"file": (file.name, file.read_bytes())},
            data={"settings": settings},
            headers={"Idempotency-Key": order} if order else {},
        )
        path, tag = answer.raise_for_status().headers["location"], ""
        while True:
            told = self._http.get(path, headers={"If-None-Match": tag})
            if told.status_code == httpx.codes.OK:
                job, tag = told.json(), told.headers["etag"]
                if job["state"] in {"done", "failed", "cancelled", "waiting"}:
                    return PlannedJob(job["id"], job["state"], job["problems"])
            elif told.status_code != httpx.codes.NOT_MODIFIED:
                told.raise_for_status()
            time.sleep(0.5)

    def document(self, job: PlannedJob, name: str) -> bytes:
        """Fetch a document of a job that is done, such as ``cut-plan.xlsx``."""
        return self._http.get(f"/jobs/{job.id}/{name}").raise_for_status().content


if __name__ == "__main__":
    with ScreenbatchClient() as client:
        planned = client.plan(Path(sys.argv[1]))
        print(planned.state, *(problem["message"] for problem in planned.problems), sep="\n")
        if planned.state == "done":
            Path("cut-plan.xlsx").write_bytes(client.document(planned, "cut-plan.xlsx"))
