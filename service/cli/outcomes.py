"""Ways out of a command that plans: refusals in plain lines, documents into a folder."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from service.cli.findings_text import finding_lines
from service.cli.job_file import job_paths
from service.cli.reading import read_job
from service.deliverables import DELIVERABLES, PLAN_DOCUMENTS
from service.errors import PartFailedError, RefusedError, SheetError
from service.job_settings import JobSettings
from service.planning import problem_of, write_documents
from service.printing import paper_setup
from solver.errors import ProblemError, RecordError
from solver.limits import Limits
from solver.plan import Plan
from solver.problem import Problem

if TYPE_CHECKING:
    from service.documents.papers import PaperSetup


@contextlib.contextmanager
def refusals() -> Iterator[None]:
    """End with exit code 1 and every reason where a job cannot be planned as it stands."""
    try:
        yield
    except RefusedError as error:
        click.echo("\n".join(finding_lines(error.findings)), err=True)
        raise SystemExit(1) from error
    except (ProblemError, RecordError, SheetError) as error:
        click.echo(f"ERROR    {error}", err=True)
        raise SystemExit(1) from error
    except PartFailedError as error:
        raise click.ClickException(str(error)) from error


def job_problem(jobs: tuple[Path, ...], settings: JobSettings) -> Problem:
    """Return the problem of job files.

    Raises
    ------
    RefusedError
        If an error or an open question stands in its way.
    """
    with job_paths(jobs) as paths:
        return problem_of(read_job(paths, settings))


def limits_for(settings: JobSettings) -> Limits:
    """Return the solver's limits on this process's clock."""
    from service.planning import limits_of

    return limits_of(settings)


def written_into(folder: Path, problem: Problem, plan: Plan, papers: PaperSetup | None = None) -> None:
    """Write a plan's documents, and the papers of the shop if set up, or end where the folder cannot be written."""
    setup, documents = (papers, DELIVERABLES) if papers else (paper_setup(JobSettings(), problem.unit), PLAN_DOCUMENTS)
    try:
        write_documents(problem, plan, folder, setup, documents)
    except OSError as error:
        raise click.UsageError(f"{folder} cannot be written: {error.strerror}") from error
