"""What runs inside a guarded child once a plan is there: the next revision, and questions about the plan.

Each task maps a bundle of bytes to a bundle of bytes; the plan comes as the
file of its revision.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from service.deliverables import DELIVERABLES, PAGE_LOOKUP
from service.engine.asking import FINDINGS
from service.engine.bundle import pack, unpack
from service.errors import RefusedError
from service.job_settings import JobSettings
from service.planning import fault_findings, limits_of, write_documents
from service.printing import paper_setup
from service.record_json import to_json
from service.revisions.record import FILE_NAME, read_revision
from service.sheets.findings import Finding, Verdict
from solver.errors import ProblemError, RecordError
from solver.money import cents
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.record import Revision

PROBLEM = "problem"
"""Name of the revised problem in an answer; every other name is a document's."""

_Findings = tuple[Finding, ...]


def revise(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Plan again: takes ``settings``, ``revision`` (a file), ``events`` (JSON) and ``price``; returns the documents."""
    del report
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given["settings"])
    before, history = read_revision(given["revision"], FILE_NAME)
    try:
        from service.revisions.event_sheet import events_of
        from service.revisions.revising import revised

        events = events_of(json.loads(given["events"]), before)
        now = revised(before, history, events, limits_of(settings), cents(given["price"].decode()))
    except (RefusedError, ProblemError, RecordError) as error:
        return pack({FINDINGS: to_json(_Findings, _refusal(error))})
    problem, plan = now.revision.problem, now.revision.plan
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        setup = paper_setup(settings, problem.unit, job_id=given["job"].decode())
        written = list(write_documents(problem, plan, folder, setup, (*_worth_writing(plan), PAGE_LOOKUP)))
        written += [path for path in now.write(folder) if path not in written]
        documents = {path.name: path.read_bytes() for path in written}
    return pack({PROBLEM: to_json(Problem, problem), **documents})


def _worth_writing(plan: Plan) -> list[Any]:
    """Return the documents of a plan; where nothing is left to cut there is nothing to print for the saw."""
    if plan.stick_groups and plan.roll_groups:
        return list(DELIVERABLES)
    return [each for each in DELIVERABLES if each.name in ("plan.json", "cut-plan.xlsx", "purchase-list.csv")]


def answer(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Answer a question about a plan: takes ``settings``, ``revision`` and ``question`` (JSON); returns ``answer``."""
    del report
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given["settings"])
    revision, _ = read_revision(given["revision"], FILE_NAME)
    question = json.loads(given["question"])
    try:
        found = _ANSWERS[question.pop("kind")](revision, question, settings)
    except (RefusedError, ProblemError, RecordError) as error:
        return pack({FINDINGS: to_json(_Findings, _refusal(error))})
    return pack({"answer": json.dumps(found, ensure_ascii=False).encode()})


def _refusal(error: RefusedError | ProblemError | RecordError) -> _Findings:
    if isinstance(error, RefusedError):
        return error.findings
    if isinstance(error, ProblemError):
        return fault_findings(error.faults)
    return (Finding(sheet="", cell="", verdict=Verdict.ERROR, message=str(error)),)


def _shares(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from solver.pooling import Belonging, cost_shares

    del settings
    sides = ("sticks", "mesh", "hardware", "kits", "delivery", "total")
    return [
        {"order": share.order, "screens": share.screens, **{f"{side}_cents": getattr(share, side) for side in sides}}
        for share in cost_shares(revision.problem, revision.plan, Belonging(question["by"]))
    ]


def _lost_label(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from service.revisions.words import length_of
    from solver.lengths import mm_number
    from solver.revision import candidates

    del settings
    unit = revision.problem.unit
    found = candidates(
        revision.problem,
        revision.plan,
        length_of(question["length"], unit),
        tolerance=length_of(question["within"], unit),
    )
    return [
        {
            "opening": one.opening,
            "copy": one.copy,
            "place": one.place.value,
            "length_mm": float(mm_number(one.length)),
            "off_mm": float(mm_number(one.off)),
            "profile": one.profile,
            "colour": one.colour,
            "cut": one.pinned,
            "stick": one.stick,
        }
        for one in found
    ]


def _cutting_order(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from datetime import date

    from solver.pooling import Belonging, CuttingOrder, within_open_orders

    try:
        due = {order: date.fromisoformat(day).toordinal() for order, day in question["due"].items()}
    except ValueError as error:
        raise RecordError("due: write dates such as 2026-12-01") from error
    found = within_open_orders(
        revision.problem,
        revision.plan,
        limits_of(settings),
        question["most_open"],
        due,
        Belonging(question["by"]),
    )
    if isinstance(found, CuttingOrder):
        sequence = [{"profile": p, "colour": c, "stick": n} for p, c, n in found.sequence]
        return {"most_open": found.most_open, "finished": list(found.finished), "sequence": sequence}
    return _phased(found)


def _phases(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from solver.pooling import Belonging, one_by_one

    belonging = Belonging(question["by"])
    return _phased(one_by_one(revision.problem, limits_of(settings), belonging.of, joint=revision.plan))


def _phased(found: Any) -> Any:
    return {
        "joint_cents": found.joint.total,
        "one_by_one_cents": found.total,
        "difference_cents": found.price_of_difference,
        "phases": [
            {
                "name": phase.name,
                "screens": sum(screen.quantity for screen in phase.plan.screens),
                "total_cents": phase.plan.total,
                "buy": [{"stock": li.stock or li.what, "buy": li.buy} for li in phase.plan.purchases if li.buy],
            }
            for phase in found.phases
        ],
    }


def _what_if(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from service.revisions.words import outcome_json, variations
    from solver.choices import what_if

    choices = {name: variations(words, revision.problem.unit) for name, words in question["choices"].items()}
    return [outcome_json(outcome) for outcome in what_if(revision.problem, choices, limits_of(settings))]


def _substitutes(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from service.revisions.words import outcome_json
    from solver.choices import hit_by, substitutes

    try:
        outcomes = substitutes(revision.problem, question["stock"], limits_of(settings))
    except KeyError as error:
        raise RecordError(f"no stick or roll is called {question['stock']}") from error
    hits = [{"opening": hit.opening, "pieces": hit.pieces} for hit in hit_by(revision.plan, question["stock"])]
    return {"hit": hits, "choices": [outcome_json(outcome) for outcome in outcomes]}


def _estimate(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from service.revisions.words import length_of
    from solver.estimate import Roughness, estimate

    roughness = Roughness(
        side=length_of(question["play"], revision.problem.unit),
        count=question["count_per_mille"],
        recuts=question["recuts_per_mille"],
    )
    found = estimate(revision.problem, roughness, limits_of(settings))
    return {
        "low_cents": found.low,
        "likely_cents": found.likely,
        "high_cents": found.high,
        "screens": list(found.screens),
        "method": found.method,
    }


_ANSWERS: dict[str, Callable[[Revision, Mapping[str, Any], JobSettings], Any]] = {
    "shares": _shares,
    "lost label": _lost_label,
    "cutting order": _cutting_order,
    "phases": _phases,
    "what if": _what_if,
    "substitutes": _substitutes,
    "estimate": _estimate,
}
