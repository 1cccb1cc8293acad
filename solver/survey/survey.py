"""Everything the survey notices about itself, opening by opening."""

from __future__ import annotations

from collections.abc import Iterator

from solver.frames import Shelf, Words
from solver.openings import Opening
from solver.problem import Problem
from solver.rules import Rules
from solver.survey.deviation import deviation_findings
from solver.survey.finding import SurveyFinding
from solver.survey.fit import fit_findings
from solver.survey.intent import intent_findings, shop_rule_findings
from solver.survey.peers import Usual, usual_sizes
from solver.survey.plausible import plausible_findings
from solver.survey.readings import reading_findings
from solver.survey.repeats import repeat_findings


def survey(problem: Problem) -> tuple[SurveyFinding, ...]:
    """Return what the openings of a job say against themselves, in the order of the openings.

    Nothing here stops a job: a finding is a notice, or a question where another
    value explains what was read better than the value itself. What makes a screen
    impossible is for :func:`solver.sizing.sized` to refuse.

    References
    ----------
    Limits are rules, common practice without a source. Deviation from type and
    stack: median and median absolute deviation with a modified z-score over 3.5,
    Iglewicz and Hoaglin, How to Detect and Handle Outliers (1993).
    """
    words = Words(problem.unit)
    shelf = Shelf(problem.catalogue, problem.rules)
    usual = usual_sizes(problem)
    repeats = repeat_findings(problem.openings)
    found: list[SurveyFinding] = []
    for number, opening in enumerate(problem.openings):
        rules = opening.rules or problem.rules
        found.extend(_of_one(opening, rules, usual.get(number), words))
        found.extend(fit_findings(opening, rules, problem.rules, shelf, words))
        found.extend(shop_rule_findings(opening, problem.rules))
        found.extend(repeats.get(number, ()))
    return tuple(found)


def _of_one(opening: Opening, rules: Rules, usual: Usual | None, words: Words) -> Iterator[SurveyFinding]:
    """Yield what the readings of one opening say; one slip is told once, by what explains it best."""
    told: set[str] = set()
    sources = (
        deviation_findings(opening, usual, rules, words) if usual is not None else (),
        plausible_findings(opening, rules, words),
        reading_findings(opening, rules, words),
    )
    for source in sources:
        found = [finding for finding in source if finding.field not in told]
        told.update(finding.field for finding in found)
        yield from found
    yield from intent_findings(opening)
