"""A plan as ``plan.json``: the same as the workbook, for other programs."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

from pydantic_core import to_json

from service.documents import plan_buying, plan_cuts, plan_leftovers
from service.documents import plan_models as models
from service.documents.plan_index import PlanIndex
from service.documents.plan_pinned import pinned_pieces
from service.documents.plan_sizes import screen_sizes
from service.documents.plan_values import PlanValues
from service.documents.rules_text import rule_lines
from solver.plan import Plan, RollGroup, StickGroup
from solver.problem import Problem


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
    index, values = PlanIndex(problem, plan), PlanValues(problem.unit, plan.currency)
    return models.PlanDocument(
        **_small_members(index, values),
        stick_groups=tuple(
            plan_cuts.stick_cut_group(group, values, tuple(plan_cuts.stick_cuts(group, index, values)))
            for group in plan.stick_groups
        ),
        roll_groups=tuple(
            plan_cuts.roll_cut_group(group, index, values, tuple(plan_cuts.roll_cuts(group, index, values)))
            for group in plan.roll_groups
        ),
        screens=tuple(_screens(index, values)),
    )


def plan_json_chunks(problem: Problem, plan: Plan) -> Iterator[bytes]:
    """Yield ``plan.json`` (UTF-8) in small chunks: a plan of any size needs little memory beyond its own."""
    index, values = PlanIndex(problem, plan), PlanValues(problem.unit, plan.currency)
    small = _small_members(index, values)
    format_name = models.PlanDocument.model_fields["format"].default
    yield b'{"format":' + to_json(format_name)
    for name in models.PlanDocument.model_fields:
        if name in small:
            yield b',\n"' + name.encode() + b'":' + to_json(small[name])
    yield b',\n"stick_groups":'
    yield from _list(_stick_group(group, index, values) for group in plan.stick_groups)
    yield b',\n"roll_groups":'
    yield from _list(_roll_group(group, index, values) for group in plan.roll_groups)
    yield b',\n"screens":'
    yield from _list((to_json(screen),) for screen in _screens(index, values))
    yield b"}\n"


def write_plan_json(problem: Problem, plan: Plan, path: Path) -> None:
    """Write a plan as JSON into a file, piece by piece."""
    with path.open("wb") as file:
        file.writelines(plan_json_chunks(problem, plan))


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


def _small_members(index: PlanIndex, values: PlanValues) -> dict[str, Any]:
    problem, plan = index.problem, index.plan
    return {
        "job": plan.name,
        "length_unit": problem.unit.value,
        "currency": plan.currency,
        "money": plan_buying.total_money(plan),
        "alternatives": plan_buying.other_ways(plan),
        "purchases": tuple(values.purchase(line) for line in plan.purchases),
        "kits": plan_buying.opened_kits(plan, values),
        "baskets": plan_buying.baskets(plan, values),
        "pinned": tuple(pinned_pieces(index, values)),
        "leftovers": plan_leftovers.worth_keeping(plan, values),
        "still_possible": plan_leftovers.still_possible(plan, values),
        "notices": tuple(
            models.PlanNotice(kind=n.kind.value, topic=n.topic, message=n.message, openings=n.openings)
            for n in plan.notices
        ),
        "parked": tuple(
            models.ParkedRow(**{field.name: getattr(row, field.name) for field in fields(models.ParkedRow)})
            for row in problem.parked
        ),
        "assumed": plan.assumed,
        "rules": tuple(
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
    }


def _screens(index: PlanIndex, values: PlanValues) -> Iterator[models.ScreenSizes]:
    return (screen_sizes(screen, index.opening(screen.opening), values) for screen in index.plan.screens)


def _stick_group(group: StickGroup, index: PlanIndex, values: PlanValues) -> Iterator[bytes]:
    head = to_json(plan_cuts.stick_cut_group(group, values, ()))
    return _filled(head, plan_cuts.stick_cuts(group, index, values))


def _roll_group(group: RollGroup, index: PlanIndex, values: PlanValues) -> Iterator[bytes]:
    head = to_json(plan_cuts.roll_cut_group(group, index, values, ()))
    return _filled(head, plan_cuts.roll_cuts(group, index, values))


def _filled(head: bytes, elements: Iterable[Any]) -> Iterator[bytes]:
    """Yield a group whose last member, still empty in ``head``, is the list of ``elements``."""
    yield head.removesuffix(b"[]}")
    yield from _list((to_json(element),) for element in elements)
    yield b"}"


def _list(elements: Iterable[Iterable[bytes]]) -> Iterator[bytes]:
    comma = b"["
    for element in elements:
        yield comma
        yield from element
        comma = b",\n"
    yield b"[]" if comma == b"[" else b"]"


if __name__ == "__main__":
    Path(__file__).with_name("plan.schema.json").write_text(plan_schema_text(), encoding="utf-8")
