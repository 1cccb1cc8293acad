"""The findings of a job as a person works through them: questions alike together, then errors, then notices."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.sheets.findings import Finding, Verdict


@dataclass(frozen=True, kw_only=True, slots=True)
class AlikeQuestions:
    """Questions of one kind, which may be answered all alike; ``kind`` is empty for one that stands alone."""

    kind: str
    findings: tuple[Finding, ...]

    @property
    def proposals(self) -> int:
        """How many of them propose a value."""
        return sum(bool(finding.proposal) for finding in self.findings)


@dataclass(frozen=True, kw_only=True, slots=True)
class Worksheet:
    """Everything found in a job file, in the order to work through it."""

    questions: tuple[AlikeQuestions, ...]
    errors: tuple[Finding, ...]
    notices: tuple[Finding, ...]

    @property
    def asked(self) -> int:
        """How many questions there are."""
        return sum(len(alike.findings) for alike in self.questions)

    @property
    def proposals(self) -> int:
        """How many questions propose a value."""
        return sum(alike.proposals for alike in self.questions)


def worksheet(findings: Sequence[Finding]) -> Worksheet:
    """Return findings sorted for working through: questions alike together, most frequent first."""
    alike: dict[str, list[Finding]] = defaultdict(list)
    for finding in findings:
        if finding.verdict is Verdict.QUESTION:
            alike[finding.kind or f"only {finding.address}"].append(finding)
    groups = [
        AlikeQuestions(kind=found[0].kind if len(found) > 1 else "", findings=tuple(found)) for found in alike.values()
    ]
    return Worksheet(
        questions=tuple(sorted(groups, key=lambda group: -len(group.findings))),
        errors=tuple(finding for finding in findings if finding.verdict is Verdict.ERROR),
        notices=tuple(finding for finding in findings if finding.verdict is Verdict.NOTICE),
    )


def answers_of(form: Mapping[str, str], findings: Sequence[Finding]) -> dict[str, str]:
    """Return what a form answers, by cell: what was typed, and the proposals that were taken.

    ``take`` names the one cell whose proposal is taken, ``take_kind`` all
    questions of a kind, ``take_all`` every question that is not answered by hand.
    """
    answers = {}
    for finding in findings:
        typed = form.get(f"cell.{finding.address}", "").strip()
        taken = finding.verdict is Verdict.QUESTION and bool(finding.proposal) and _taken(form, finding)
        if typed and not (taken and form.get("take") == finding.address):
            answers[finding.address] = typed
        elif taken:
            answers[finding.address] = finding.proposal
    return answers


def _taken(form: Mapping[str, str], finding: Finding) -> bool:
    return (
        form.get("take") == finding.address
        or (bool(finding.kind) and form.get("take_kind") == finding.kind)
        or form.get("take_all") == "yes"
    )
