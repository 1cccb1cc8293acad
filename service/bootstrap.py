"""Puts the service together from its settings; the only place where parts of the service meet."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool

from service.api.application import application
from service.api.office import Office
from service.engine.asking import Allowance
from service.engine.calls import MEBIBYTE
from service.engine.engines import LocalSlots
from service.errors import StoreDownError
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.files import FolderFiles
from service.jobs.runner import Runner
from service.jobs.sql_store import SqlStore
from service.jobs.sweep import Sweep
from service.jobs.worker import Worker
from service.settings import ServiceSettings


def service(settings: ServiceSettings) -> FastAPI:
    """Return the whole service as an application; jobs are worked on while it runs.

    Raises
    ------
    StoreDownError
        If the job store cannot be opened.
    OSError
        If the data folder cannot be written.
    """
    settings.data.mkdir(parents=True, exist_ok=True)
    files = FolderFiles(settings.data / "files")
    store = SqlStore(settings.database_url)
    bench = Bench(store, lease_seconds=settings.lease_seconds)
    engine = LocalSlots(settings.slots or None)
    allowance = Allowance(memory=settings.memory_mb * MEBIBYTE, check_seconds=settings.check_seconds)
    runner = Runner(
        bench,
        Worker(bench, files, engine, allowance),
        Sweep(store, files, bench, keep_days=settings.keep_days),
        engine.slots,
    )

    def unready() -> str:
        try:
            store.look(lambda ledger: ledger.now())
        except StoreDownError:
            return "the job store does not answer"
        return "" if runner.alive else "no worker is running"

    office = Office(
        desk=Desk(store, queue_cap=settings.queue_cap),
        files=files,
        wake=runner.wake,
        unready=unready,
        upload_bytes=settings.upload_mb * MEBIBYTE,
    )

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        del app
        runner.start()
        try:
            yield
        finally:
            await run_in_threadpool(runner.stop)
            engine.close()
            store.close()

    return application(office, lifespan)
