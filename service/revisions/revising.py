"""From a revision and its events to the next revision, with its documents and its history in words."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from service.revisions.difference_text import difference_json, difference_lines
from service.revisions.record import FILE_NAME, revision_bytes
from solver.events import Event
from solver.handed_over import HandedOver
from solver.limits import Limits
from solver.money import Cents
from solver.revision import replan
from solver.revision.record import Revision

if TYPE_CHECKING:
    from service.documents.papers import PaperSetup


REPRINTS = "labels-to-print-again.pdf"
PARTS_TO_SEND = "parts-to-send.pdf"


@dataclass(frozen=True, kw_only=True, slots=True)
class Revised:
    """The next revision and the history up to it."""

    revision: Revision
    history: list[str]

    def write(self, folder: Path, setup: PaperSetup) -> tuple[Path, ...]:
        """Write what only a revision has into a folder that is there.

        That is its own file, its difference, the labels to print again, and the
        parts to send after a short shipment.
        """
        revision = folder / FILE_NAME
        revision.write_bytes(revision_bytes(self.revision, self.history))
        as_json = folder / "difference.json"
        as_json.write_text(json.dumps(difference_json(self.revision), indent=2, ensure_ascii=False), encoding="utf-8")
        as_text = folder / "difference.txt"
        as_text.write_text("\n".join(difference_lines(self.revision)) + "\n", encoding="utf-8")
        return (revision, as_json, as_text, *self._papers(folder, setup))

    def _papers(self, folder: Path, setup: PaperSetup) -> Iterator[Path]:
        from service.documents.papers.parts_to_send import parts_to_send, write_parts_to_send
        from service.documents.papers.some_labels import write_some_labels

        assert self.revision.difference is not None  # noqa: S101 - only a first plan has none
        pieces = {(again.opening, again.copy, again.place) for again in self.revision.difference.reprints}
        if pieces:
            labels = folder / REPRINTS
            write_some_labels(self.revision.problem, self.revision.plan, pieces, labels, setup)
            yield labels
        if parts_to_send(self.revision):
            parts = folder / PARTS_TO_SEND
            write_parts_to_send(self.revision, parts, setup)
            yield parts


def revised(
    before: Revision,
    history: Sequence[str],
    events: Sequence[Event],
    limits: Limits,
    price_of_change: Cents,
    handed_over: Sequence[HandedOver] = (),
) -> Revised:
    """Return the next revision; ``handed_over`` is what the rack of all jobs has taken over from this one.

    Raises
    ------
    ProblemError
        If an event cannot have happened, or the rest cannot be planned.
    """
    now = replan(before, events, limits, price_of_change=price_of_change, handed_over=handed_over)
    words = ", ".join(sorted({type(event).__name__ for event in events})) or "nothing"
    return Revised(revision=now, history=[*history, f"revision {now.number}: {len(events)} events ({words})"])
