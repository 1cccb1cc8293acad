"""``screenbatch template``: an empty job workbook to fill in."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("out", metavar="OUT.xlsx", type=click.Path(dir_okay=False, path_type=Path))
def template(out: Path) -> None:
    """Write an empty job workbook to fill in: only its first sheet is needed."""
    if out.suffix.lower() != ".xlsx":
        raise click.UsageError(f"{out} is written as a workbook; give it a name that ends in .xlsx")
    if not out.parent.is_dir():
        raise click.UsageError(f"there is no folder {out.parent}")
    from service.sheets.template import write_template

    write_template(out)
    click.echo(f"{out} written; fill in the first sheet and run: screenbatch plan {out} --out plan")
