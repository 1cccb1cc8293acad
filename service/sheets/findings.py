"""What reading a job found out, cell by cell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from solver.openings import Opening
from solver.problem import Problem


class Verdict(Enum):
    """How a finding bears on the plan."""

    NOTICE = "notice"
    """Fine, but said: something was skipped, assumed or is unusual."""
    QUESTION = "question"
    """Nothing is guessed: a person accepts the proposal or writes another value."""
    ERROR = "error"


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """One thing found in one cell (or row, or sheet, where ``cell`` is empty).

    ``text`` is the cell as it stood, ``message`` what is wrong and what to write,
    ``proposal`` the value a question proposes, as text to write into the cell.
    Questions of one ``kind`` can be answered all alike.
    """

    sheet: str
    cell: str
    verdict: Verdict
    message: str
    text: str = ""
    proposal: str = ""
    kind: str = ""

    @property
    def address(self) -> str:
        """Sheet and cell in one, such as ``openings!C17``."""
        return f"{self.sheet}!{self.cell}" if self.cell else self.sheet


@dataclass(frozen=True, kw_only=True, slots=True)
class JobReading:
    """A job file as understood: every finding, and the problem if nothing stands in its way.

    ``openings`` are the rows that could be read, also when other rows stand in the way.
    ``columns`` is the user's own column mapping as it was used, to be remembered
    for tables of the same ``shape``; both are empty where none was given.
    ``stock_cells`` says in which sheet and cell the size of a stick or roll stands, by (kind of sheet, name).
    """

    findings: tuple[Finding, ...]
    problem: Problem | None
    openings: tuple[Opening, ...] = ()
    shape: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    stock_cells: Mapping[tuple[str, str], tuple[str, str]] = field(default_factory=dict)

    @property
    def usable(self) -> bool:
        """Whether the job can be planned: no error and no open question."""
        return self.problem is not None
