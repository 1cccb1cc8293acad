"""``--rack JOB``: plan with the leftovers on the rack, which promises what the plan takes to that job."""

from __future__ import annotations

import contextlib
import functools
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from service.cli.service_options import settings_of, store_options
from service.errors import PieceTakenError, RackError, StoreDownError, UnknownPieceError
from service.leftovers.records import RackPiece
from service.leftovers.settlement import Settlement
from service.leftovers.stock import as_handed_over
from solver.handed_over import HandedOver

if TYPE_CHECKING:
    from service.rack.rack import Rack

Planned = TypeVar("Planned")
_ROUNDS = 5
_OPTIONS = (
    click.option("--rack", "rack_job", metavar="JOB", help="Plan with the rack, which promises pieces to this job."),
    click.option("--tenant", default="local", show_default=True, help="Whose rack."),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class JobsRack:
    """The rack as one job sees it."""

    rack: Rack
    tenant: str
    job: str

    def handed_over(self) -> tuple[HandedOver, ...]:
        """Return what the rack has taken over from this job."""
        return as_handed_over(self.rack.handed_over(self.tenant, self.job))

    def plan(self, plan: Callable[[list[RackPiece]], tuple[Planned, Settlement]], *, first: bool = False) -> Planned:
        """Return what ``plan`` makes of the pieces at hand, once the rack has promised what it takes.

        Where another job is faster the plan is made again with what is left. After
        a ``first`` plan, what an earlier job of this name left over is not this one's.

        Raises
        ------
        RackError
            If others are faster again and again.
        """
        for last in (*[False] * (_ROUNDS - 1), True):
            planned, settlement = plan(self.rack.at_hand(self.tenant, self.job))
            try:
                self.rack.promise(self.tenant, self.job, settlement, first=first)
            except (PieceTakenError, UnknownPieceError):
                if last:
                    raise
                continue
            self.rack.settle(self.tenant, self.job, settlement)
            return planned
        raise AssertionError("unreachable")


def rack_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options to a command, which gets them as one ``rack``: None, or a call that opens the job's rack."""

    @functools.wraps(command)
    def with_rack_job(*args: Any, **kwargs: Any) -> Any:
        job, tenant = kwargs.pop("rack_job"), kwargs.pop("tenant")
        data, database = kwargs.pop("data"), kwargs.pop("database")
        opening = None if job is None else functools.partial(_opened, data, database, tenant, job)
        return command(*args, rack=opening, **kwargs)

    decorated: Any = with_rack_job
    for option in reversed(_OPTIONS):
        decorated = option(decorated)
    return store_options(decorated)


@contextlib.contextmanager
def _opened(data: Path | None, database: str | None, tenant: str, job: str) -> Iterator[JobsRack]:
    from service.rack.rack import Rack

    settings = settings_of(data=data, database=database)
    try:
        settings.data.mkdir(parents=True, exist_ok=True)
        opened = Rack(settings.database_url)
        try:
            yield JobsRack(rack=opened, tenant=tenant, job=job)
        finally:
            opened.close()
    except RackError as error:
        click.echo(f"ERROR    {error}", err=True)
        raise SystemExit(1) from error
    except StoreDownError as error:
        raise click.UsageError(str(error)) from error
