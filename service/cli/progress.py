"""Progress on standard error, for a person at a terminal and nobody else."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from service.engine.side_by_side import PartReport
    from solver.limits import Progress


@contextlib.contextmanager
def parts_shown() -> Iterator[PartReport]:
    """Yield what takes reports of parts and shows each part's best cost and bound, if anybody looks."""
    if not sys.stderr.isatty():
        yield _ignored
        return
    from rich.console import Console

    with Console(stderr=True).status("solving") as status:
        standing: dict[str, str] = {}

        def report(name: str, progress: Progress | None) -> None:
            standing[name] = "done" if progress is None else _words(progress)
            status.update("   ".join(f"{part}: {words}" for part, words in standing.items()))

        yield report


def _ignored(name: str, progress: Progress | None) -> None:
    del name, progress


def _words(progress: Progress) -> str:
    if progress.cost is None or not progress.bound:
        return "searching"
    above = 100 * (progress.cost - progress.bound) / progress.bound
    return f"at most {above:.2f} % above the best possible"
