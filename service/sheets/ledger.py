"""What reading a job finds out, and the answers already given to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from string import ascii_lowercase

from service.sheets.cells import Value, address, cell_text
from service.sheets.findings import Finding, Verdict
from service.sheets.verdicts import Asked, CellVerdict, Held, ReadCell

EVERY = "every "
"""An answer for ``every`` and a kind of question settles all questions of that kind."""
ACCEPT = "accept"
"""The answer that takes a question's own proposal."""
PARK = "park"
"""The answer that sets the row aside to be measured again."""
_MOST_PROPOSALS_IN_A_ROW = 4


@dataclass(frozen=True, slots=True)
class Place:
    """Where something was found: a sheet, and a row (from 1) and column (from 0) or neither."""

    sheet: str
    row: int = 0
    column: int = -1

    @property
    def cell(self) -> str:
        """The cell's address; the row's number alone for a row; empty for the sheet."""
        if self.row and self.column >= 0:
            return address(self.row, self.column)
        return str(self.row) if self.row else ""

    @property
    def address(self) -> str:
        """Sheet and cell in one, as on a finding."""
        return f"{self.sheet}!{self.cell}" if self.cell else self.sheet


class Ledger:
    """Collects findings while a job is read, and settles questions that were answered before."""

    def __init__(self, answers: Mapping[str, str] | None = None, *, accept_proposals: bool = False) -> None:
        self.findings: list[Finding] = []
        self.troubled_rows: set[tuple[str, int]] = set()
        self.to_park: set[tuple[str, int]] = set()
        """Rows that an answer sets aside."""
        self.proposed: dict[str, str] = {}
        """Accepted proposals for cells that could be read as they stood."""
        self._accept = accept_proposals
        self._answers = {_plain(where): answer for where, answer in (answers or {}).items()}
        self._used: set[str] = set()

    @property
    def blocked(self) -> bool:
        """Whether an error or an open question stands."""
        return any(finding.verdict is not Verdict.NOTICE for finding in self.findings)

    def notice(self, place: Place, message: str, text: str = "") -> None:
        """Say something that stands in nobody's way."""
        self._add(place, Verdict.NOTICE, message, text)

    def error(self, place: Place, message: str, text: str = "") -> None:
        """Refuse something; its row cannot be used."""
        self._add(place, Verdict.ERROR, message, text)

    def question(self, place: Place, asked: Asked, text: str = "") -> None:
        """Ask about something; its row cannot be used before the answer."""
        self._add(place, Verdict.QUESTION, asked.message, text, asked.proposal, asked.kind)

    def settle(self, place: Place, value: Value, read: ReadCell, text: str = "") -> Held | None:
        """Read a cell, with the answer in its place if there is one; None if it cannot be used yet."""
        verdict = read(value)
        if isinstance(verdict, Held) and not self._answers:
            return verdict
        return self._settled(place, read, verdict, text or cell_text(value))

    def ask(self, place: Place, asked: Asked, read: ReadCell, text: str = "") -> Held | None:
        """Ask a question that no cell's text raises; ``read`` reads its answer."""
        return self.settle(place, None, lambda value: asked if value is None else read(value), text)

    def answer(self, place: Place) -> str | None:
        """Return what was answered for a cell."""
        if not self._answers:
            return None
        key = _plain(place.address)
        if key in self._answers:
            self._used.add(key)
            return self._answers[key]
        return None

    def answered_rows(self, sheet: str) -> set[int]:
        """Return the rows of a sheet in which some cell was answered."""
        start = _plain(f"{sheet}!")
        cells = (where.removeprefix(start) for where in self._answers if where.startswith(start))
        return {int(row) for cell in cells if (row := cell.lstrip(ascii_lowercase)).isdecimal()}

    def unused_answers(self) -> list[str]:
        """Return the answers whose cells nothing was read from."""
        return [where for where in self._answers if where not in self._used and not where.startswith(EVERY)]

    def _settled(self, place: Place, read: ReadCell, verdict: CellVerdict, shown: str) -> Held | None:
        note = verdict.note if isinstance(verdict, Held | Asked) else ""
        answer = self.answer(place)
        if answer is None and isinstance(verdict, Asked):
            answer = self._answers.get(f"{EVERY}{verdict.kind}")
        word = answer.strip().casefold() if answer is not None else ""
        if word == PARK and not isinstance(verdict, Held):
            self.to_park.add((place.sheet, place.row))
        elif answer is not None and not (word == ACCEPT and isinstance(verdict, Asked)):
            verdict = read(answer)
            self.notice(place, f"answered: {answer}", shown)
        if isinstance(verdict, Asked) and (self._accept or word == ACCEPT):
            verdict = self._accepted(place, verdict, read, shown)
        if isinstance(verdict, Held):
            return Held(verdict.value, verdict.note or note)
        if isinstance(verdict, Asked):
            self.question(place, verdict, shown)
        else:
            self.error(place, verdict.message, shown)
        return None

    def raise_question(self, place: Place, asked: Asked, text: str = "") -> None:
        """Ask about a cell that can be read but looks wrong; any answer for that cell settles it.

        An accepted proposal goes to ``proposed``, because everything has to be read again with it.
        """
        answer = self.answer(place) or self._answers.get(f"{EVERY}{asked.kind}")
        word = answer.strip().casefold() if answer is not None else ""
        if word == PARK:
            self.to_park.add((place.sheet, place.row))
            self.question(place, asked, text)
        elif asked.proposal and (word == ACCEPT or (answer is None and self._accept)):
            self.proposed[place.address] = asked.proposal
            self.notice(place, f"proposal accepted: {asked.proposal}", text)
        elif answer is not None:
            self.notice(place, f"confirmed: {asked.message}", text)
        else:
            self.question(place, asked, text)

    def _accepted(self, place: Place, asked: Asked, read: ReadCell, shown: str) -> CellVerdict:
        verdict: CellVerdict = asked
        for _ in range(_MOST_PROPOSALS_IN_A_ROW):
            if not isinstance(verdict, Asked) or not verdict.proposal:
                break
            proposal = verdict.proposal
            verdict = read(proposal)
            self.notice(place, f"proposal accepted: {proposal}", shown)
        return verdict

    def _add(self, place: Place, verdict: Verdict, message: str, text: str, proposal: str = "", kind: str = "") -> None:
        self.findings.append(
            Finding(
                sheet=place.sheet,
                cell=place.cell,
                verdict=verdict,
                message=message,
                text=text,
                proposal=proposal,
                kind=kind,
            )
        )
        if verdict is not Verdict.NOTICE and place.row:
            self.troubled_rows.add((place.sheet, place.row))


def _plain(where: str) -> str:
    """Return an address to compare: without quotes, dollar signs and capital letters."""
    sheet, mark, cell = where.rpartition("!")
    if not mark:
        return where.strip().strip("'").casefold()
    return f"{sheet.strip().strip(chr(39)).casefold()}!{cell.replace('$', '').strip().casefold()}"
