"""One thing the survey noticed about itself."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class SurveyKind(Enum):
    """Whether a finding is only said, or wants an answer."""

    NOTICE = "notice"
    QUESTION = "question"


@dataclass(frozen=True, kw_only=True, slots=True)
class SurveyFinding:
    """What was seen in one field of one opening, why it matters and what to do.

    ``reading`` is which of the readings of the field is meant, from 0 in the order
    taken, or None for all of them. ``proposal`` is the text to write into the cell
    instead, with its unit where that is what went wrong; only questions have one.
    ``topic`` is a short stable word. ``field`` is a field of the opening, for
    ``Opening.where``.
    """

    opening: str
    field: str
    topic: str
    kind: SurveyKind
    seen: str
    why: str
    do: str
    proposal: str = ""
    reading: int | None = None

    @property
    def message(self) -> str:
        """The finding as one text."""
        return f"{self.seen} {self.why} {self.do}"
