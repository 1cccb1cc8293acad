"""The findings of a job as a person works through them: questions alike together, then errors, then notices."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.sheets.findings import Finding, Verdict
from service.sheets.ledger import ACCEPT, EVERY


@dataclass(frozen=True, kw_only=True, slots=True)
class AlikeQuestions:
    """Questions of one kind, which may be answered all alike."""

    kind: str
    findings: tuple[Finding, ...]

    @property
    def proposals(self) -> int:
        """How many of them propose a value."""
        return sum(bool(finding.proposal) for finding in self.findings)


@dataclass(frozen=True, kw_only=True, slots=True)
class Worksheet:
    """Everything found in a job file, in the order to work through it; ``single`` questions are like no other."""

    alike: tuple[AlikeQuestions, ...]
    single: tuple[Finding, ...]
    errors: tuple[Finding, ...]
    notices: tuple[Finding, ...]

    @property
    def asked(self) -> int:
        """How many questions there are."""
        return len(self.single) + sum(len(alike.findings) for alike in self.alike)

    @property
    def proposals(self) -> int:
        """How many questions propose a value."""
        return sum(bool(finding.proposal) for finding in self.single) + sum(alike.proposals for alike in self.alike)


def worksheet(findings: Sequence[Finding]) -> Worksheet:
    """Return findings sorted for working through: questions alike together, most frequent first."""
    kinds: dict[str, list[Finding]] = defaultdict(list)
    questions = [finding for finding in findings if finding.verdict is Verdict.QUESTION]
    for finding in questions:
        kinds[finding.kind].append(finding)
    several = {kind: found for kind, found in kinds.items() if kind and len(found) > 1}
    alike = [AlikeQuestions(kind=kind, findings=tuple(found)) for kind, found in several.items()]
    return Worksheet(
        alike=tuple(sorted(alike, key=lambda group: -len(group.findings))),
        single=tuple(finding for finding in questions if finding.kind not in several),
        errors=tuple(finding for finding in findings if finding.verdict is Verdict.ERROR),
        notices=tuple(finding for finding in findings if finding.verdict is Verdict.NOTICE),
    )


def answers_of(form: Mapping[str, str], findings: Sequence[Finding]) -> dict[str, str]:
    """Return what a form answers: by cell what was typed or taken, and ``every`` kind that was taken as a whole.

    ``take`` names the one cell whose proposal is taken, ``take_kind`` the kind of
    question that is answered with its proposals, also where more are asked than shown.
    """
    answers = {}
    for finding in findings:
        typed = form.get(f"cell.{finding.address}", "").strip()
        if finding.verdict is Verdict.QUESTION and finding.proposal and form.get("take") == finding.address:
            answers[finding.address] = finding.proposal
        elif typed:
            answers[finding.address] = typed
    kind = form.get("take_kind", "")
    if kind and any(finding.verdict is Verdict.QUESTION and finding.kind == kind for finding in findings):
        answers[f"{EVERY}{kind}"] = ACCEPT
    return answers
