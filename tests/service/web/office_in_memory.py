"""An office for the pages' tests: jobs in memory, put into any state by hand."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import httpx
import uvicorn
from fastapi import FastAPI

from service.api.after_plan import AfterPlan
from service.api.office import TENANT
from service.api.upload_cap import UploadCap
from service.deliverables import PAGE_LOOKUP
from service.documents.lookup.write import write_lookup
from service.engine.asking import Allowance
from service.engine.engines import LocalSlots
from service.job_settings import JobSettings
from service.jobs.desk import Desk, Wish
from service.jobs.files import FolderFiles
from service.jobs.following import FollowDesk
from service.jobs.memory_store import MemoryStore
from service.jobs.records import Attachment, Job, JobKind, JobState, Part
from service.rack.rack import Rack
from service.revisions.record import FILE_NAME, revision_bytes
from service.sheets.findings import Finding
from service.web.pages import page_routes
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.record import Revision


class OfficeInMemory:
    """A desk and files to put jobs on, and the pages around them."""

    def __init__(self, folder: Path, *, upload_bytes: int = 25 << 20) -> None:
        self._folder = folder
        self.store = MemoryStore()
        self.desk = Desk(self.store)
        self.files = FolderFiles(folder / "files")
        self.upload_bytes = upload_bytes
        self.woken = 0
        self.rack = Rack(f"sqlite:///{folder / 'rack.sqlite3'}")
        self.engine = LocalSlots(1)
        self.after = AfterPlan(
            desk=self.desk,
            follow=FollowDesk(self.store),
            files=self.files,
            engine=self.engine,
            allowance=Allowance(),
            leftovers=self.rack,
        )

    def close(self) -> None:
        """End the children and let go of the rack."""
        self.engine.close()
        self.rack.close()

    def wake(self) -> None:
        """Count the calls to work."""
        self.woken += 1

    def pages(self) -> FastAPI:
        """The pages alone: no API, no workers."""
        app = FastAPI()
        for routes in page_routes(self, self._folder / "shelf", self.after, self.rack):
            app.include_router(routes)
        app.add_middleware(UploadCap, most=self.upload_bytes)
        return app

    def job(self, name: str = "Maple Court", state: JobState = JobState.QUEUED, **other: object) -> Job:
        """Put a job there in any state."""
        upload = Attachment(name="openings.xlsx", digest=self.files.put(b"openings"), size=8)
        wish = Wish(tenant=TENANT, upload=upload, settings=JobSettings(name=name))
        accepted = self.desk.accept(wish)
        return self.put(replace(accepted, state=state, **other))  # type: ignore[arg-type]

    def put(self, job: Job) -> Job:
        """Put a changed job in the place of the old one."""
        self.store.change(lambda ledger: ledger.save_job(job))
        return job

    def put_parts(self, *parts: Part) -> None:
        """Put parts there, each in the place of the old one if there is one."""

        def work(ledger: object) -> None:
            known = {part.id for part in ledger.parts(parts[0].job)}  # type: ignore[attr-defined]
            ledger.add_parts([part for part in parts if part.id not in known])  # type: ignore[attr-defined]
            for part in parts:
                ledger.save_part(part)  # type: ignore[attr-defined]

        self.store.change(work)

    def waiting_job(self, *findings: Finding) -> Job:
        """Put a job there that waits for answers."""
        return self.job(state=JobState.WAITING, findings=findings)

    def answered(self, document: object) -> Job:
        """Put a question there that was answered."""
        content = json.dumps(document).encode()
        kept = Attachment(name="answer.json", digest=self.files.put(content), size=len(content))
        return self.job("A question", JobState.DONE, kind=JobKind.QUESTION, documents=(kept,))

    def planned_job(self, problem: Problem, plan: Plan, *others: str) -> Job:
        """Put a finished job there with its lookup file and documents of these names."""
        path = self._folder / f"{time.monotonic_ns()}.sqlite"
        write_lookup(problem, plan, path)
        contents = {PAGE_LOOKUP.name: path.read_bytes()} | {name: name.encode() for name in others}
        contents[FILE_NAME] = revision_bytes(Revision(number=0, problem=problem, plan=plan))
        kept = tuple(
            Attachment(name=name, digest=self.files.put(content), size=len(content))
            for name, content in contents.items()
        )
        return self.job(plan.name, JobState.DONE, documents=kept)


@contextmanager
def served(app: FastAPI) -> Iterator[str]:
    """Serve an application on a free port of this machine; give its address."""
    listening = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=2))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    try:
        deadline = time.monotonic() + 20
        while not server.started:
            assert time.monotonic() < deadline, "the server did not start"
            time.sleep(0.02)
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(20)
        listening.close()


@contextmanager
def browser(app: FastAPI) -> Iterator[httpx.Client]:
    """Serve an application to a browser without script, which follows nowhere by itself."""
    with served(app) as address, httpx.Client(base_url=address, timeout=30) as client:
        yield client
