"""The shop rules that held for a plan, in words: the job's, and each row's own."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, fields
from enum import Enum

from service.documents.amounts import unit_length
from solver.lengths import Ticks, Unit
from solver.problem import Problem
from solver.rules import Rules


@dataclass(frozen=True, kw_only=True, slots=True)
class RuleLine:
    """One rule's value; ``openings`` are the rows that set it for themselves, none means it is the job's."""

    name: str
    what: str
    length: Ticks | None
    number: int | None
    text: str
    openings: tuple[str, ...] = ()


def rule_lines(problem: Problem) -> list[RuleLine]:
    """Return every rule of the job, each followed by the values that single rows put in its place."""
    own: dict[Rules, list[str]] = defaultdict(list)
    for opening in problem.openings:
        if opening.rules is not None and opening.rules != problem.rules:
            own[opening.rules].append(opening.label)
    lines = []
    for name, what, is_length in _rule_names():
        value = getattr(problem.rules, name)
        lines.append(_line(name, what, value, problem.unit, (), is_length=is_length))
        differing: dict[object, list[str]] = defaultdict(list)
        for rules, labels in own.items():
            if getattr(rules, name) != value:
                differing[getattr(rules, name)] += labels
        for other, labels in differing.items():
            lines.append(_line(name, what, other, problem.unit, tuple(labels), is_length=is_length))
    return lines


def _rule_names() -> list[tuple[str, str, bool]]:
    return [(rule.name, rule.metadata["what"], rule.type == "Ticks") for rule in fields(Rules)]


def _line(name: str, what: str, value: object, unit: Unit, openings: tuple[str, ...], *, is_length: bool) -> RuleLine:
    length = number = None
    if isinstance(value, Enum):
        text = str(value.value)
    elif isinstance(value, int) and is_length:
        length, text = Ticks(value), unit_length(Ticks(value), unit)
    elif isinstance(value, int):
        number, text = value, f"{value:,}"
    else:
        text = str(value)
    return RuleLine(name=name, what=what, length=length, number=number, text=text, openings=openings)
