"""``screenbatch rack``: the leftovers of a tenant."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from service.cli.outcomes import refusals
from service.cli.reading import read_leftover_rows
from service.cli.revision_file import opened_revision, revision_argument
from service.cli.service_options import settings_of, store_options
from service.errors import RackError, ServiceError
from service.leftovers.records import PieceState, RackPiece, Search
from service.rack.lengths import rack_length
from solver.errors import RecordError
from solver.lengths import Ticks, Unit, length_text

if TYPE_CHECKING:
    from service.rack.rack import Rack

_SHOWN = Unit.INCH


def _tenant_options(command: Callable[..., Any]) -> Callable[..., Any]:
    command = click.option("--tenant", default="local", show_default=True, help="Whose rack.")(command)
    unit = click.option("--unit", type=click.Choice(["in", "mm"]), help="Unit of bare numbers, and of what is shown.")
    command = unit(command)
    return store_options(command)


@click.group()
def rack() -> None:
    """Keep leftovers: list, add, measure, reserve, release, scrap.

    A leftover is stock once its real length is confirmed, and is never
    promised to two jobs. A length has its unit, or a tape fraction, which
    proves inches; for bare numbers say --unit.
    """


@rack.command("list")
@_tenant_options
@click.option("--profile", default="", help="Sticks of this profile.")
@click.option("--colour", default="", help="Sticks of this colour.")
@click.option("--mesh", default="", help="Pieces of this mesh.")
@click.option("--length", default="", help="At least this long; the shortest that fits comes first.")
@click.option("--width", default="", help="Mesh at least this wide.")
@click.option("--older-than", type=float, default=0.0, help="Days.")
@click.option("--state", type=click.Choice([*[s.value for s in PieceState], "all"]), default="free", show_default=True)
@click.option("--job", default="", help="Reserved by, used by or left over by this job.")
@click.option("--most", type=click.IntRange(1, 100_000), default=1_000, show_default=True, help="How many at most.")
@click.option("--to", "to", type=click.Path(dir_okay=False, path_type=Path), help="Write a .csv or .xlsx list instead.")
def list_pieces(
    data: Path | None, database: str | None, tenant: str, unit: str | None, to: Path | None, **words: Any
) -> None:
    """List pieces, the shortest first, with their age; or write them as a list that a job can take as its leftovers."""
    with _opened(data, database) as opened, refusals():
        pieces = opened.search(tenant, _search(words, unit))
    if to is not None:
        from service.rack.lists import write_rack

        write_rack(to, pieces, time.time(), Unit(unit) if unit else _SHOWN)
        click.echo(f"{len(pieces)} pieces written to {to}")
        return
    _show(unit, pieces)


def _search(words: dict[str, Any], unit: str | None) -> Search:
    return Search(
        profile=words["profile"],
        colour=words["colour"],
        mesh=words["mesh"],
        least_length=rack_length(words["length"], _said(unit)) if words["length"] else Ticks(0),
        least_width=rack_length(words["width"], _said(unit)) if words["width"] else Ticks(0),
        older_than_days=words["older_than"],
        state=None if words["state"] == "all" else PieceState(words["state"]),
        job=words["job"],
        limit=words["most"],
    )


@rack.command()
@_tenant_options
@click.argument("sheet", type=click.Path(exists=True, dir_okay=False, path_type=Path))
def add(data: Path | None, database: str | None, tenant: str, unit: str | None, sheet: Path) -> None:
    """Lay the pieces of a sheet of leftovers on the rack, measured as they are listed."""
    from service.rack.lists import in_either_unit, pieces_of

    with _opened(data, database) as opened, refusals():
        pieces = in_either_unit(lambda each: pieces_of(*read_leftover_rows(sheet, each)), _said(unit))
        kept = opened.add(tenant, pieces)
    _show(unit, kept)
    if len(kept) < len(pieces):
        click.echo(f"{len(pieces) - len(kept)} are too small by the rack's rules", err=True)


@rack.command()
@revision_argument
@_tenant_options
@click.option("--job", required=True, help="Name of the job; a service's job by its id.")
def reserve(data: Path | None, database: str | None, tenant: str, unit: str | None, revision: Path, job: str) -> None:
    """Promise the job the pieces of the rack that its plan takes, all or none, and note what it will leave over.

    Ends with 1 if another job was faster; list the rack again and plan anew.
    """
    from service.leftovers.stock import left_over, taken_from_rack

    plan, _ = opened_revision(revision)
    with _opened(data, database) as opened:
        names = [stick.name for stick in plan.problem.catalogue.sticks if stick.leftover]
        names += [roll.name for roll in plan.problem.catalogue.rolls if roll.leftover]
        known = {piece.id for piece in opened.search(tenant, Search(state=None, limit=1_000_000))}
        reserved = opened.reserve(tenant, job, taken_from_rack(plan.plan, known.intersection(names)))
        expected = opened.expect(tenant, job, left_over(plan.problem, plan.plan), plan.struck)
    _show(unit, reserved)
    click.echo(f"{len(reserved)} reserved for {job}; {len(expected)} expected from it")


@rack.command()
@_tenant_options
@click.option("--job", required=True, help="Name of the job.")
def release(data: Path | None, database: str | None, tenant: str, unit: str | None, job: str) -> None:
    """Free what a job has reserved, such as when it is cancelled."""
    with _opened(data, database) as opened:
        _show(unit, opened.release(tenant, job))


@rack.command()
@_tenant_options
@click.option("--job", required=True, help="Name of the job.")
def used(data: Path | None, database: str | None, tenant: str, unit: str | None, job: str) -> None:
    """Note that a job has cut what it reserved."""
    with _opened(data, database) as opened:
        _show(unit, opened.use(tenant, job))


@rack.command()
@_tenant_options
@click.argument("sheet", type=click.Path(exists=True, dir_okay=False, path_type=Path))
def measured(data: Path | None, database: str | None, tenant: str, unit: str | None, sheet: Path) -> None:
    """Make expected pieces stock by the real lengths in a sheet: columns name (the code on the label) and length.

    A count of 0 says that a piece is not there.
    """
    from service.rack.lists import in_either_unit, lengths_of

    with _opened(data, database) as opened, refusals():
        waiting = opened.search(tenant, Search(state=PieceState.EXPECTED, limit=1_000_000))
        lengths = in_either_unit(lambda each: lengths_of(*read_leftover_rows(sheet, each), waiting), _said(unit))
        _show(unit, opened.confirm(tenant, lengths))


@rack.command()
@_tenant_options
@click.argument("codes", nargs=-1)
@click.option("--by-rule", is_flag=True, help="Everything too small or too old by the rack's rules.")
def scrap(
    data: Path | None, database: str | None, tenant: str, unit: str | None, codes: tuple[str, ...], by_rule: bool
) -> None:
    """Throw pieces away, by their codes or by rule."""
    if by_rule == bool(codes):
        raise click.UsageError("name pieces by their codes, or say --by-rule")
    with _opened(data, database) as opened:
        wanted = [piece.id for piece in opened.due_for_scrap(tenant)] if by_rule else codes
        _show(unit, opened.scrap(tenant, wanted))


@rack.command()
@_tenant_options
@click.option("--least-stick", help="Shortest stick kept.")
@click.option("--least-mesh-width", help="Narrowest mesh kept.")
@click.option("--least-mesh-length", help="Shortest mesh kept.")
@click.option("--oldest-days", type=click.IntRange(0), help="Greatest age; 0 for no limit.")
@click.option("--most-pieces", type=click.IntRange(1), help="How many pieces the rack may hold.")
def rules(data: Path | None, database: str | None, tenant: str, unit: str | None, **given: Any) -> None:
    """Show the rack's rules, or set those given."""
    said = {name: value for name, value in given.items() if value is not None}
    try:
        said = {
            name: rack_length(value, _said(unit)) if isinstance(value, str) else value for name, value in said.items()
        }
    except RecordError as error:
        raise click.UsageError(str(error)) from error
    shown = Unit(unit) if unit else _SHOWN
    with _opened(data, database) as opened:
        if said:
            opened.set_rules(tenant, replace(opened.rules(tenant), **said))
        now = opened.rules(tenant)
    for name in ("least_stick", "least_mesh_width", "least_mesh_length"):
        click.echo(f"{name.replace('_', ' '):18} {length_text(getattr(now, name), shown)} {shown.value}")
    click.echo(f"{'oldest days':18} {now.oldest_days or 'no limit'}")
    click.echo(f"{'most pieces':18} {now.most_pieces}")


def _said(unit: str | None) -> Unit | None:
    return Unit(unit) if unit else None


@contextlib.contextmanager
def _opened(data: Path | None, database: str | None) -> Iterator[Rack]:
    from service.rack.rack import Rack

    settings = settings_of(data=data, database=database)
    try:
        settings.data.mkdir(parents=True, exist_ok=True)
        opened = Rack(settings.database_url)
        yield opened
        opened.close()
    except RackError as error:
        click.echo(f"ERROR    {error}", err=True)
        raise SystemExit(1) from error
    except ServiceError as error:
        raise click.UsageError(str(error)) from error


def _show(unit: str | None, pieces: Sequence[RackPiece]) -> None:
    shown = Unit(unit) if unit else _SHOWN
    now = time.time()
    for piece in pieces:
        what = f"{piece.mesh} {length_text(piece.width, shown)} x" if piece.mesh else f"{piece.profile} {piece.colour}"
        days = max(0, int((now - piece.created) // 86_400))
        job = f"  {piece.job}" if piece.job else ""
        click.echo(
            f"{piece.id}  {what} {length_text(piece.length, shown)} {shown.value}  {piece.state.value}{job}  "
            f"{days} days  {piece.place}".rstrip()
        )
