"""From a revision and its events to the next revision, with its documents and its history in words."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from service.revisions.difference_text import difference_json, difference_lines
from service.revisions.record import FILE_NAME, revision_bytes
from solver.events import Event
from solver.limits import Limits
from solver.money import Cents
from solver.revision import replan
from solver.revision.record import Revision


@dataclass(frozen=True, kw_only=True, slots=True)
class Revised:
    """The next revision and the history up to it."""

    revision: Revision
    history: list[str]

    def write(self, folder: Path) -> tuple[Path, ...]:
        """Write the revision's own file and its difference into a folder that is there."""
        revision = folder / FILE_NAME
        revision.write_bytes(revision_bytes(self.revision, self.history))
        as_json = folder / "difference.json"
        as_json.write_text(json.dumps(difference_json(self.revision), indent=2, ensure_ascii=False), encoding="utf-8")
        as_text = folder / "difference.txt"
        as_text.write_text("\n".join(difference_lines(self.revision)) + "\n", encoding="utf-8")
        return (revision, as_json, as_text)


def revised(
    before: Revision, history: Sequence[str], events: Sequence[Event], limits: Limits, price_of_change: Cents
) -> Revised:
    """Return the next revision.

    Raises
    ------
    ProblemError
        If an event cannot have happened, or the rest cannot be planned.
    """
    now = replan(before, events, limits, price_of_change=price_of_change)
    words = ", ".join(sorted({type(event).__name__ for event in events})) or "nothing"
    return Revised(revision=now, history=[*history, f"revision {now.number}: {len(events)} events ({words})"])
