"""``screenbatch plan``: from a job file to its documents in a folder."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from service.cli.findings_text import finding_json, finding_lines
from service.cli.job_file import job_argument, job_paths
from service.cli.job_options import job_options
from service.cli.progress import parts_shown
from service.cli.rack_option import JobsRack, rack_options
from service.cli.reading import read_job
from service.cli.remembered import remember
from service.deliverables import DELIVERABLES, PLAN_DOCUMENTS
from service.errors import PartFailedError, RefusedError
from service.job_settings import JobSettings
from service.planning import fitted, planned, problem_of, write_documents
from service.printing import paper_setup
from service.sheets.findings import Finding, Verdict

if TYPE_CHECKING:
    from service.leftovers.records import RackPiece
    from solver.plan import Plan
    from solver.problem import Problem


@click.command()
@job_argument
@click.option(
    "--out", required=True, type=click.Path(file_okay=False, path_type=Path), help="Folder for the documents."
)
@click.option("--json", "as_json", is_flag=True, help="Print the summary as JSON.")
@click.option("--papers/--no-papers", default=True, help="Also write what the shop prints. Default: yes.")
@rack_options
@job_options
def plan(
    jobs: tuple[Path, ...],
    out: Path,
    as_json: bool,
    papers: bool,
    settings: JobSettings,
    rack: Callable[[], AbstractContextManager[JobsRack]] | None,
) -> None:
    """Plan a job and write the cut plan, purchase list and papers into a folder.

    Several job files are planned as one job, so that they share sticks and
    rolls. With --rack the leftovers on the rack are stock on hand, and what the
    plan takes of them is promised to the job.
    """
    if settings.use_rack and rack is None:
        raise click.UsageError("these settings use the rack: say --rack JOB, the name it promises pieces to")

    try:
        with job_paths(jobs) as paths:
            reading = read_job(paths, settings)
    except PartFailedError as error:
        raise click.ClickException(str(error)) from error
    if reading.usable and reading.shape:
        remember({reading.shape: reading.columns})
    if settings.park_faulty_rows:
        reading, _ = fitted(reading, settings)
    try:
        problem = problem_of(reading)
        if rack is None:
            finished = _planned(problem, settings)
        else:
            with rack() as pieces:
                problem, finished = _planned_with_rack(problem, settings, pieces)
    except RefusedError as error:
        remarks = tuple(finding for finding in reading.findings if finding not in error.findings)
        _refuse((*remarks, *error.findings), as_json=as_json)
    except PartFailedError as error:
        raise click.ClickException(str(error)) from error
    try:
        setup = paper_setup(settings, problem.unit)
        written = write_documents(problem, finished, out, setup, DELIVERABLES if papers else PLAN_DOCUMENTS)
    except OSError as error:
        raise click.UsageError(f"{out} cannot be written: {error.strerror}") from error
    if as_json:
        click.echo(json.dumps(_summary(problem, finished), indent=2, ensure_ascii=False))
        return
    doubts = [finding for finding in reading.findings if finding.verdict is not Verdict.NOTICE]
    if doubts:
        click.echo("\n".join(finding_lines(doubts)), err=True)
    from service.documents.summary_text import summary_lines

    click.echo("\n".join(summary_lines(problem, finished)))
    click.echo(f"\nWritten into {out}: " + ", ".join(path.name for path in written))


def _planned(problem: Problem, settings: JobSettings) -> Plan:
    from service.engine.side_by_side import side_by_side

    with parts_shown() as report:
        return planned(problem, side_by_side(settings, report))


def _planned_with_rack(problem: Problem, settings: JobSettings, rack: JobsRack) -> tuple[Problem, Plan]:
    from service.leftovers.settlement import Settlement
    from service.leftovers.stock import left_over, pieces_on_hand, taken_from_rack, with_rack

    def one_round(pieces: list[RackPiece]) -> tuple[tuple[Problem, Plan], Settlement]:
        stocked = with_rack(problem, pieces)
        finished = _planned(stocked, settings)
        taken = tuple(taken_from_rack(finished, pieces_on_hand(stocked)))
        return (stocked, finished), Settlement(taken=taken, left=tuple(left_over(stocked, finished)))

    return rack.plan(one_round, first=True)


def _refuse(findings: tuple[Finding, ...], *, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps({"findings": [finding_json(finding) for finding in findings]}, indent=2))
    else:
        click.echo("\n".join([*finding_lines(findings), "No plan: mend the cells named above."]), err=True)
    raise SystemExit(1)


def _summary(problem: Any, finished: Any) -> Any:
    from service.documents.summary_text import summary_json

    return summary_json(problem, finished)
