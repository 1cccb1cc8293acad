"""``screenbatch replan``: the next revision after something happened."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from service.cli.outcomes import limits_for, refusals, written_into
from service.cli.rack_option import JobsRack, rack_options
from service.cli.reading import read_event_rows
from service.cli.revision_file import opened_revision, revision_argument
from service.job_settings import JobSettings
from service.leftovers.settlement import Settlement, settlement
from service.leftovers.stock import with_present_rack
from service.printing import paper_setup
from solver.errors import RecordError
from solver.events import Event
from solver.handed_over import HandedOver
from solver.money import Cents, cents
from solver.revision.record import Revision

if TYPE_CHECKING:
    from service.leftovers.records import RackPiece
    from service.revisions.revising import Revised


@click.command()
@revision_argument
@click.option(
    "--events",
    "sheets",
    multiple=True,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Sheet of events, or list of scanned codes.",
)
@click.option(
    "--event", "words", multiple=True, metavar='"miscut; opening=A-1; place=left; length=40"', help="One event."
)
@click.option("--price-of-change", default="0", help="What a stick or crosscut cut otherwise than before counts.")
@click.option("--seconds", type=float, default=50.0, show_default=True, help="Time limit for planning the rest.")
@click.option("--work", type=int, default=150_000, show_default=True, help="Work limit for planning the rest.")
@click.option("--seed", type=int, default=1, show_default=True, help="Start of the search's chance.")
@click.option(
    "--out", required=True, type=click.Path(file_okay=False, path_type=Path), help="Folder for the documents."
)
@click.option("--json", "as_json", is_flag=True, help="Print the difference as JSON.")
@rack_options
def replan(
    revision: Path,
    sheets: tuple[Path, ...],
    words: tuple[str, ...],
    price_of_change: str,
    seconds: float,
    work: int,
    seed: int,
    out: Path,
    as_json: bool,
    rack: Callable[[], AbstractContextManager[JobsRack]] | None,
) -> None:
    """Plan again after cuts, miscuts, damage or changes: what is cut stays, the rest changes as little as money allows.

    With --rack JOB the rack is told what is cut, taken and left over by now.

    PLAN is the folder of a plan, or its revision.json.gz. What was on its
    purchase list counts as bought, unless an event says it did not come.

    Events: stick cut, rail cut, crosscut cut, everything cut, miscut, spoilt
    blank, damaged stick, roll flaw, remeasured, change order, cancelled, added,
    short delivery, not there, missing part. A sheet has a column event and those of the words that an
    event needs: code (as scanned), opening, copy, place, profile, colour, mesh,
    number, length, width, height, starts at, sound, quantity, like, stock,
    missing, gone, part.
    """
    before, history = opened_revision(revision)
    settings = JobSettings(seconds=seconds, work=work, seed=seed)
    with refusals():
        from service.revisions.difference_text import difference_json, difference_lines
        from service.revisions.revising import revised

        price = _price(price_of_change)

        def one_round(pieces: list[RackPiece] | None, handed_over: Sequence[HandedOver] = ()) -> Revised:
            begin = before if pieces is None else with_present_rack(before, pieces)
            return revised(begin, history, _events(begin, sheets, words), limits_for(settings), price, handed_over)

        if rack is None:
            now = one_round(None)
        else:
            with rack() as pieces:
                now = pieces.plan(lambda here: _settled(one_round(here, pieces.handed_over())))
    setup = replace(paper_setup(JobSettings(), now.revision.problem.unit), revision=str(now.revision.number))
    written_into(out, now.revision.problem, now.revision.plan, setup)
    now.write(out, setup)
    if as_json:
        click.echo(json.dumps(difference_json(now.revision), indent=2, ensure_ascii=False))
    else:
        click.echo("\n".join(difference_lines(now.revision)))
        click.echo(f"\nWritten: {out}")


def _settled(now: Revised) -> tuple[Revised, Settlement]:
    return now, settlement(now.revision)


def _price(text: str) -> Cents:
    try:
        return cents(text)
    except RecordError as error:
        raise click.UsageError(str(error)) from error


def _events(before: Revision, sheets: tuple[Path, ...], words: tuple[str, ...]) -> list[Event]:
    from service.revisions.event_sheet import events_of, events_of_sheet

    events = [event for sheet in sheets for event in events_of_sheet(*read_event_rows(sheet), before)]
    rows = []
    for text in words:
        first, *rest = (part.strip() for part in text.split(";"))
        pairs = dict(part.split("=", 1) for part in rest if "=" in part)
        rows.append({"event": first, **{name.strip(): value.strip() for name, value in pairs.items()}})
    return [*events, *events_of(rows, before)]
