"""A plan as ``plan.json``: the same as the workbook, for other programs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

from pydantic_core import to_json

from service.documents import plan_buying, plan_leftovers
from service.documents import plan_models as models
from service.documents.plan_cuts import roll_cut_group, stick_cut_group
from service.documents.plan_index import PlanIndex
from service.documents.plan_sizes import screen_sizes
from service.documents.plan_values import PlanValues
from service.documents.rules_text import rule_lines
from solver.plan import Plan
from solver.problem import Problem

_STREAMED = ("purchases", "stick_groups", "roll_groups", "screens", "notices")


def plan_document(problem: Problem, plan: Plan) -> models.PlanDocument:
    """Return a plan in the shape of ``plan.json``.

    Parameters
    ----------
    problem
        What the plan was made for; its unit and currency decide how texts read.
    plan
        A checked plan of that problem.

    Returns
    -------
    PlanDocument
        Lengths in millimetres and as tape text, money as decimal strings.
    """
    index = PlanIndex(problem, plan)
    values = PlanValues(problem.unit, plan.currency)
    return models.PlanDocument(
        job=plan.name,
        length_unit=problem.unit.value,
        currency=plan.currency,
        money=plan_buying.total_money(plan),
        alternatives=plan_buying.other_ways(plan),
        purchases=tuple(values.purchase(line) for line in plan.purchases),
        kits=plan_buying.opened_kits(plan, values),
        baskets=plan_buying.baskets(plan, values),
        stick_groups=tuple(stick_cut_group(group, index, values) for group in plan.stick_groups),
        roll_groups=tuple(roll_cut_group(group, index, values) for group in plan.roll_groups),
        leftovers=plan_leftovers.worth_keeping(plan, values),
        still_possible=plan_leftovers.still_possible(plan, values),
        screens=tuple(screen_sizes(screen, index.opening(screen.opening), values) for screen in plan.screens),
        notices=tuple(
            models.PlanNotice(kind=n.kind.value, topic=n.topic, message=n.message, openings=n.openings)
            for n in plan.notices
        ),
        assumed=plan.assumed,
        rules=tuple(
            models.EffectiveRule(
                name=rule.name,
                what=rule.what,
                length=None if rule.length is None else values.length(rule.length),
                number=rule.number,
                text=rule.text,
                openings=rule.openings,
            )
            for rule in rule_lines(problem)
        ),
    )


def plan_json_chunks(document: models.PlanDocument) -> Iterator[bytes]:
    """Yield a plan document as JSON (UTF-8) in chunks of bounded size, so that a large plan needs little memory."""
    opening = b"{"
    for name in models.PlanDocument.model_fields:
        yield opening + b'"' + name.encode() + b'": '
        yield from _value_chunks(getattr(document, name), streamed=name in _STREAMED)
        opening = b",\n"
    yield b"}\n"


def write_plan_json(problem: Problem, plan: Plan, path: Path) -> None:
    """Write a plan as JSON into a file, piece by piece."""
    with path.open("wb") as file:
        file.writelines(plan_json_chunks(plan_document(problem, plan)))


def plan_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) that every plan document keeps.

    Examples
    --------
    >>> plan_schema()["title"]
    'screenbatch plan'
    """
    schema = models.PlanDocument.model_json_schema(mode="serialization")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "screenbatch plan"}
    return {**schema, **head}


def plan_schema_text() -> str:
    """Return the JSON Schema as it stands in ``plan.schema.json``."""
    return json.dumps(plan_schema(), indent=2, ensure_ascii=False, sort_keys=True) + "\n"


def _value_chunks(value: Any, *, streamed: bool) -> Iterator[bytes]:
    if not streamed:
        yield to_json(value)
        return
    comma = b"[\n"
    for element in value:
        yield comma
        yield from _group_chunks(element) if hasattr(element, "sticks") else (to_json(element),)
        comma = b",\n"
    yield b"[]" if comma == b"[\n" else b"\n]"


def _group_chunks(group: Any) -> Iterator[bytes]:
    """Yield one stick group stick by stick: it may hold most of a large plan."""
    opening = b"{"
    for field in fields(group):
        yield opening + b'"' + field.name.encode() + b'": '
        yield from _value_chunks(getattr(group, field.name), streamed=field.name == "sticks")
        opening = b", "
    yield b"}"


if __name__ == "__main__":
    Path(__file__).with_name("plan.schema.json").write_text(plan_schema_text(), encoding="utf-8")
