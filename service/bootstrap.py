"""Puts the service together from its settings; the only place where parts of the service meet."""

from __future__ import annotations

import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from anyio.to_thread import current_default_thread_limiter
from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool

from service.api.access import Door, is_loopback
from service.api.after_plan import AfterPlan
from service.api.application import application
from service.api.office import Office
from service.api.pace import Pace
from service.api.rack_routes import rack_routes
from service.api.revision_routes import revision_routes
from service.engine.asking import Allowance
from service.engine.engines import Engine, LocalSlots
from service.errors import SettingsError, StoreDownError
from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.files import FileStore, FolderFiles
from service.jobs.following import FollowDesk
from service.jobs.hooks import HookDesk
from service.jobs.keys import KeyRing
from service.jobs.postman import Postman
from service.jobs.runner import Runner
from service.jobs.sql_store import SqlStore
from service.jobs.sweep import Sweep
from service.jobs.worker import Worker
from service.machine_memory import MEBIBYTE
from service.measures import Measures
from service.rack.rack import Rack
from service.settings import ServiceSettings
from service.web.key_page import WayToTheKeyPage
from service.web.pages import page_routes

_REQUEST_THREADS = 8
"""More would only wait for the database, and hold up the event loop that answers health requests."""
_LOOPBACK_HOSTS = {"localhost", "127.0.0.1", "::1"}


def service(settings: ServiceSettings) -> FastAPI:
    """Return the whole service as an application; jobs are worked on while it runs.

    Raises
    ------
    StoreDownError
        If the job store cannot be opened.
    SettingsError
        If others could reach the service and there is no API key, or the engine is none.
    OSError
        If the data folder cannot be written.
    """
    store = job_store(settings)
    files = _files(settings)
    bench = Bench(store, lease_seconds=settings.lease_seconds)
    engine = _engine(settings)
    allowance = Allowance(
        memory=settings.memory,
        check_seconds=settings.check_seconds,
        spare_seconds=settings.spare_seconds,
    )
    measures = Measures()
    rack = Rack(settings.database_url)
    door = _door(settings, KeyRing(store), measures)
    measures.watch_queue(lambda: store.look(lambda ledger: ledger.queue()))
    runner = Runner(
        bench,
        Worker(bench, files, engine, allowance, measures, rack),
        Sweep(store, files, bench, keep_days=settings.keep_days, leftovers=rack),
        engine.slots,
    )

    postman = Postman(store, private_allowed=settings.private_webhooks)

    def unready() -> str:
        try:
            store.look(lambda ledger: ledger.now())
        except StoreDownError:
            return "the job store does not answer"
        return "" if runner.alive else "no worker is running"

    office = Office(
        desk=Desk(store, queue_cap=settings.queue_cap),
        files=files,
        hooks=HookDesk(store),
        private_hooks=settings.private_webhooks,
        wake=runner.wake,
        unready=unready,
        measures=measures,
        upload_bytes=settings.upload_mb * MEBIBYTE,
    )

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        del app
        current_default_thread_limiter().total_tokens = _REQUEST_THREADS
        runner.start()
        postman.start()
        try:
            yield
        finally:
            await run_in_threadpool(runner.stop)
            await run_in_threadpool(postman.stop)
            engine.close()
            rack.close()
            store.close()

    app = application(office, door, lifespan)
    after_plan = AfterPlan(
        desk=office.desk,
        follow=FollowDesk(store, queue_cap=settings.queue_cap),
        files=files,
        engine=engine,
        allowance=allowance,
        leftovers=rack,
    )
    app.include_router(rack_routes(office, rack, after_plan))
    app.include_router(revision_routes(office, after_plan))
    for routes in page_routes(office, settings.data / "lookups", after_plan, rack):
        app.include_router(routes)
    app.add_middleware(WayToTheKeyPage)
    return app


def job_store(settings: ServiceSettings) -> SqlStore:
    """Return the job store in its present form.

    Raises
    ------
    StoreDownError
        If it cannot be opened.
    OSError
        If the data folder cannot be written.
    """
    settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
    return SqlStore(settings.database_url)


def _files(settings: ServiceSettings) -> FileStore:
    if not settings.files:
        return FolderFiles(settings.data / "files")
    try:
        from service.jobs.object_files import ObjectFiles

        return ObjectFiles(settings.files)
    except ImportError as error:
        raise SettingsError("an object store needs the extra 'objects': pip install 'screenbatch[objects]'") from error


def _engine(settings: ServiceSettings) -> Engine:
    if settings.engine == "local":
        return LocalSlots(settings.slots or None)
    try:
        from service.engine.cluster import DaskCluster
    except ImportError as error:
        raise SettingsError("a cluster needs the extra 'cluster': pip install 'screenbatch[cluster]'") from error
    return DaskCluster(settings.engine, settings.slots or None)


def _door(settings: ServiceSettings, keys: KeyRing, measures: Measures) -> Door:
    needed = not is_loopback(settings.host) if settings.keys_needed is None else settings.keys_needed
    if needed and not keys.usable():
        raise SettingsError(
            f"{settings.host} can be reached by others, so an API key is needed; make one first: "
            "screenbatch keys create --tenant NAME"
        )
    return Door(
        keys=keys,
        measures=measures,
        keys_needed=needed,
        hosts=_LOOPBACK_HOSTS | {host.strip() for host in settings.hosts.split(",") if host.strip()},
        pace=Pace(settings.requests_per_second, settings.requests_at_once, time.monotonic),
    )
