"""``screenbatch lost-label``: the rail whose label is lost."""

from __future__ import annotations

from pathlib import Path

import click

from service.cli.revision_file import opened_revision, revision_argument
from service.job_settings import JobSettings
from service.printing import paper_setup
from solver.lengths import Ticks, length_text
from solver.notation import Understood, read_length
from solver.revision import candidates


@click.command("lost-label")
@revision_argument
@click.argument("length")
@click.option("--within", default="1/32 in", show_default=True, help="How far off a rail may be.")
@click.option("--profile", help="Only rails of this profile.")
@click.option("--colour", help="Only rails of this colour.")
@click.option(
    "--labels", type=click.Path(dir_okay=False, path_type=Path), help="Also print the candidates' labels into this PDF."
)
def lost_label(
    revision: Path, length: str, within: str, profile: str | None, colour: str | None, labels: Path | None
) -> None:
    """Find the rail whose label is lost by its measured LENGTH, nearest first.

    Ends with 1 if no rail of the plan is that long.
    """
    opened, _ = opened_revision(revision)
    unit = opened.problem.unit
    found = candidates(
        opened.problem,
        opened.plan,
        _length(length, unit.value),
        tolerance=_length(within, unit.value),
        profile=profile,
        colour=colour,
    )
    for one in found:
        where = "cut" if one.pinned else f"to be cut from stick {one.stick}"
        off = (
            f"{length_text(Ticks(abs(one.off)), unit)} {'longer' if one.off > 0 else 'shorter'}" if one.off else "exact"
        )
        click.echo(
            f"{one.opening} copy {one.copy} {one.place.value}: {length_text(one.length, unit)} ({off}), "
            f"{one.profile} {one.colour}, {where}"
        )
    if labels is not None and found:
        from service.documents.papers.some_labels import write_some_labels

        pieces = {(one.opening, one.copy, one.place) for one in found}
        write_some_labels(opened.problem, opened.plan, pieces, labels, paper_setup(JobSettings(), unit))
    if not found:
        click.echo("no rail of this plan is that long; measure again, or widen --within", err=True)
        raise SystemExit(1)


def _length(text: str, unit: str) -> Ticks:
    result = read_length(text, unit=unit, alone=True)
    if not isinstance(result, Understood):
        raise click.UsageError(f"{text}: {getattr(result, 'message', 'this is no length')}")
    return result.length
