"""Options that say something about a job beside its file; the same words as over HTTP."""

from __future__ import annotations

import functools
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from pydantic import ValidationError

from service.cli.remembered import remembered_columns
from service.job_settings import JobSettings

_JOB_OPTIONS = (
    click.option(
        "--settings",
        "settings_file",
        type=click.Path(exists=True, dir_okay=False, path_type=Path),
        help="JSON file of job settings; the options below go before it.",
    ),
    click.option("--name", help="Name of the job. Default: the file's name."),
    click.option("--unit", type=click.Choice(["in", "mm"]), help="Unit of bare numbers and of the texts in the plan."),
    click.option("--currency", help="Shown behind amounts of money, such as EUR."),
    click.option("--column", "columns", multiple=True, metavar="WORD=HEADING", help="Which heading holds what."),
    click.option("--rule", "rules", multiple=True, metavar="RULE=VALUE", help='A shop rule, such as "kerf=3/32 in".'),
    click.option("--answer", "answers", multiple=True, metavar="SHEET!CELL=TEXT", help="Answer to a question."),
    click.option("--accept-proposals", is_flag=True, default=None, help="Answer every question with its proposal."),
    click.option("--park-faulty-rows", is_flag=True, default=None, help="Plan the usable rows, list the others."),
    click.option("--seconds", type=float, help="Time limit for the whole search, two cores. Default: 50."),
    click.option("--work", type=int, help="Work limit for the whole search, each under 1 ms. Default: 150000."),
    click.option("--seed", type=int, help="Start of the search's chance. Default: 1."),
)


def job_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the job options to a command, which gets them as one ``settings``."""

    @functools.wraps(command)
    def with_settings(*args: Any, **kwargs: Any) -> Any:
        names = ("settings_file", "columns", "rules", "answers", *_PLAIN)
        given = {name: kwargs.pop(name) for name in names}
        return command(*args, settings=_settings(given), **kwargs)

    decorated: Any = with_settings
    for option in reversed(_JOB_OPTIONS):
        decorated = option(decorated)
    return decorated  # type: ignore[no-any-return]


_PLAIN = ("name", "unit", "currency", "accept_proposals", "park_faulty_rows", "seconds", "work", "seed")


def _settings(given: dict[str, Any]) -> JobSettings:
    try:
        file: Path | None = given["settings_file"]
        base = JobSettings.model_validate_json(file.read_bytes()) if file else JobSettings()
        changes = {name: given[name] for name in _PLAIN if given[name] is not None}
        for name in ("columns", "rules", "answers"):
            changes[name] = getattr(base, name) | _pairs(given[name], name)
        if not changes["columns"]:
            changes["remembered_columns"] = remembered_columns() | base.remembered_columns
        return JobSettings.model_validate(base.model_dump() | changes)
    except ValidationError as error:
        wrong = (f"{'.'.join(str(step) for step in fault['loc'])}: {fault['msg']}" for fault in error.errors())
        raise click.UsageError("\n".join(wrong)) from error


def _pairs(texts: tuple[str, ...], name: str) -> dict[str, str]:
    pairs = {}
    for text in texts:
        word, equals, value = text.partition("=")
        if not equals or not word.strip():
            raise click.UsageError(f"{name}: write WORD=VALUE, not {text!r}")
        pairs[word.strip()] = value.strip()
    return pairs
