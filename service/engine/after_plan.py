"""What runs inside a guarded child once a plan is there: the next revision, and questions about the plan.

Each task maps a bundle of bytes to a bundle of bytes; the plan comes as the
file of its revision.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service.deliverables import DELIVERABLES, PAGE_LOOKUP
from service.documents.amounts import exact_length, purchase_text
from service.documents.plan_index import PlanIndex
from service.engine.asking import ANSWER, FINDINGS, PROBLEM, RACK
from service.engine.bundle import pack, unpack
from service.engine.job_files import laid_out
from service.errors import RefusedError, SheetError
from service.job_settings import JobSettings
from service.leftovers.records import RackPiece
from service.leftovers.settlement import Settlement, settlement
from service.leftovers.stock import as_handed_over, with_present_rack, without_handed_over
from service.planning import fault_findings, limits_of, problem_of, read_pooled, write_documents
from service.printing import paper_setup
from service.record_json import from_json, to_json
from service.revisions.record import FILE_NAME, read_revision
from service.sheets.findings import Finding, Verdict
from solver.catalogue import Catalogue
from solver.errors import ProblemError, RecordError
from solver.lengths import Unit
from solver.money import cents
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.record import Revision

if TYPE_CHECKING:
    from service.documents.papers import PaperSetup

_Findings = tuple[Finding, ...]
_IN_ORDER = ("stick-sheets.pdf", "mesh-sheets.pdf", "labels.pdf", "stick-cuts.csv")
"""What the saw and the table want in another order; every stick and crosscut keeps its number."""


def revise(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Plan again, and return the revised problem and its documents.

    Takes ``settings``, ``revision`` (a file), ``events`` (JSON), ``price``, the
    ``rack`` with what is free and promised to the job, what the job has
    ``handed_over`` to it, and ``job``.
    """
    del report
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given["settings"])
    before, history = read_revision(given["revision"], FILE_NAME)
    if settings.use_rack:
        before = with_present_rack(before, from_json(tuple[RackPiece, ...], given["rack"]))
    try:
        from service.revisions.event_sheet import events_of
        from service.revisions.revising import revised

        events = events_of(json.loads(given["events"]), before)
        price = cents(given.get("price", b"0").decode())
        handed_over = as_handed_over(from_json(tuple[RackPiece, ...], given.get("handed_over", b"[]")))
        now = revised(before, history, events, limits_of(settings), price, handed_over)
    except (RefusedError, ProblemError, RecordError) as error:
        return pack({FINDINGS: to_json(_Findings, _refusal(error))})
    problem, plan = now.revision.problem, now.revision.plan
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        setup = paper_setup(settings, problem.unit, job_id=given["job"].decode())
        setup = replace(setup, revision=str(now.revision.number))
        written = list(write_documents(problem, plan, folder, setup, (*_worth_writing(plan), PAGE_LOOKUP)))
        written += [path for path in now.write(folder, setup) if path not in written]
        documents = {path.name: path.read_bytes() for path in written}
    if settings.use_rack or handed_over:
        documents[RACK] = to_json(Settlement, settlement(now.revision))
    return pack({PROBLEM: to_json(Problem, problem), **documents})


def _worth_writing(plan: Plan) -> list[Any]:
    """Return the documents of a plan; where nothing is left to cut there is nothing to print for the saw."""
    if plan.stick_groups and plan.roll_groups:
        return list(DELIVERABLES)
    return [each for each in DELIVERABLES if each.name in ("plan.json", "cut-plan.xlsx", "purchase-list.csv")]


def answer(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Answer a question: takes ``settings``, ``question`` (JSON), and a ``revision`` or the ``files`` of a job.

    What a revision's job has ``handed_over`` to the rack since counts no more.

    The answer is a document, with the question in it; a cutting order brings its papers too.
    """
    del report
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given["settings"])
    asked = json.loads(given["question"])
    question = dict(asked)
    kind = question.pop("kind")
    try:
        if "files" in given:
            problem = _problem(given["files"], settings)
            found = _ANSWERS_BEFORE[kind](problem, question, settings)
        else:
            revision, _ = read_revision(given["revision"], FILE_NAME)
            revision = without_handed_over(revision, from_json(tuple[RackPiece, ...], given.get("handed_over", b"[]")))
            problem = revision.problem
            found = _ANSWERS[kind](revision, question, settings)
    except (RefusedError, ProblemError, RecordError) as error:
        return pack({FINDINGS: to_json(_Findings, _refusal(error))})
    papers: dict[str, bytes] = {}
    if isinstance(found, _Ordered):
        setup = paper_setup(settings, problem.unit, job_id=given.get("job", b"").decode())
        setup = replace(setup, revision=str(revision.number or ""))
        papers, found = _papers(problem, found.plan, setup), found.answer
    document = {"question": asked, "answer": found, "currency": problem.currency}
    return pack({ANSWER: json.dumps(document, ensure_ascii=False, indent=1).encode(), **papers})


@dataclass(frozen=True, kw_only=True, slots=True)
class _Ordered:
    """An answer, and a plan in another order whose papers go with it."""

    answer: Any
    plan: Plan


def _papers(problem: Problem, plan: Plan, setup: PaperSetup) -> dict[str, bytes]:
    wanted = [each for each in _worth_writing(plan) if each.name in _IN_ORDER]
    with tempfile.TemporaryDirectory() as name:
        return {path.name: path.read_bytes() for path in write_documents(problem, plan, Path(name), setup, wanted)}


def _problem(files: bytes, settings: JobSettings) -> Problem:
    with laid_out(unpack(files)) as paths:
        return problem_of(read_pooled(paths, settings))


def settle(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Say what a plan means for the rack: takes ``revision``, returns the settlement."""
    del report
    revision, _ = read_revision(unpack(payload)["revision"], FILE_NAME)
    return pack({RACK: to_json(Settlement, settlement(revision))})


def event_rows(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Read sheets of events or scanned codes: takes the files by name, returns their ``rows`` as JSON."""
    del report
    from service.revisions.event_rows import event_rows as rows_of

    with laid_out(unpack(payload)) as paths:
        try:
            rows = [row for _, path in paths for row in rows_of(path)]
        except SheetError as error:
            return pack({FINDINGS: to_json(_Findings, _whole_sheet(error))})
    return pack({"rows": json.dumps(rows, ensure_ascii=False).encode()})


def leftover_rows(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Read a list of leftovers: takes ``unit``, ``name`` and ``file``; returns ``rows`` and what was ``found``."""
    del report
    from service.sheets.leftover_list import LeftoverRow, read_leftovers

    given = unpack(payload)
    with laid_out({given["name"].decode(): given["file"]}) as paths:
        try:
            rows, findings = read_leftovers(paths[0][1], Unit(given["unit"].decode()))
        except SheetError as error:
            return pack({FINDINGS: to_json(_Findings, _whole_sheet(error))})
    return pack({"rows": to_json(tuple[LeftoverRow, ...], tuple(rows)), "found": to_json(_Findings, findings)})


def _whole_sheet(error: SheetError) -> _Findings:
    return (Finding(sheet="", cell="", verdict=Verdict.ERROR, message=str(error)),)


def labels(payload: bytes, report: Callable[[bytes], None]) -> bytes:
    """Print ``labels`` of some pieces: takes ``settings``, ``revision``, ``codes`` (JSON) and ``job``."""
    del report
    given = unpack(payload)
    settings = JobSettings.model_validate_json(given["settings"])
    revision, _ = read_revision(given["revision"], FILE_NAME)
    from service.documents.papers.some_labels import write_some_labels
    from service.revisions.event_words import EventReader

    reader = EventReader(revision)
    try:
        pieces = {reader.piece({"code": code}) for code in json.loads(given["codes"])}
    except RecordError as error:
        return pack({FINDINGS: to_json(_Findings, _refusal(error))})
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "labels.pdf"
        setup = paper_setup(settings, revision.problem.unit, job_id=given["job"].decode())
        setup = replace(setup, revision=str(revision.number or ""))
        write_some_labels(revision.problem, revision.plan, pieces, path, setup)
        return pack({"labels": path.read_bytes()})


def _refusal(error: RefusedError | ProblemError | RecordError) -> _Findings:
    if isinstance(error, RefusedError):
        return error.findings
    if isinstance(error, ProblemError):
        return fault_findings(error.faults)
    return (Finding(sheet="", cell="", verdict=Verdict.ERROR, message=str(error)),)


def _shares(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from solver.pooling import Belonging, cost_shares
    from solver.revision import with_all_bought

    del settings
    plan = with_all_bought(revision) if question.get("whole_chain") else revision.plan
    if plan is None:
        raise RecordError(
            "what the plans before this one have bought is not known: their file is from an older version"
        )
    sides = ("sticks", "mesh", "hardware", "kits", "delivery", "total")
    return [
        {"order": share.order, "screens": share.screens, **{f"{side}_cents": getattr(share, side) for side in sides}}
        for share in cost_shares(revision.problem, plan, Belonging(question["by"]))
    ]


def _lost_label(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from service.revisions.words import length_of
    from solver.lengths import mm_number
    from solver.revision import candidates

    del settings
    unit = revision.problem.unit
    index = PlanIndex(revision.problem, revision.plan)
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
            "code": index.code(one.opening, one.copy, one.place),
            "piece": index.label(one.opening, one.copy, one.place),
            "length": exact_length(one.length, unit),
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
        anew=False,
    )
    if isinstance(found, CuttingOrder):
        sequence = [{"profile": p, "colour": c, "stick": n} for p, c, n in found.sequence]
        answer = {"most_open": found.most_open, "finished": list(found.finished), "sequence": sequence}
        return _Ordered(answer=answer, plan=found.plan)
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
                "buy": _to_buy(phase.plan, phase.problem.unit),
            }
            for phase in found.phases
        ],
    }


def _to_buy(plan: Plan, unit: Unit) -> list[dict[str, Any]]:
    return [
        {"stock": line.stock or line.what, "buy": line.buy, "text": purchase_text(line, unit)}
        for line in plan.purchases
        if line.buy
    ]


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
        raise RecordError(f"no stick, roll or kit is called {question['stock']}") from error
    hits = [{"opening": hit.opening, "pieces": hit.pieces} for hit in hit_by(revision.plan, question["stock"])]
    return {"hit": hits, "choices": [outcome_json(outcome) for outcome in outcomes]}


def _estimate(revision: Revision, question: Mapping[str, Any], settings: JobSettings) -> Any:
    types = question.get("types") or ()
    return _budget(_of_types(revision.problem, types) if types else revision.problem, question, settings)


def _of_types(problem: Problem, types: Sequence[Mapping[str, Any]]) -> Problem:
    """Return a job of types with rough sizes, made and bought as another job was."""
    from service.revisions.words import length_of

    model = problem.openings[0]
    openings = tuple(
        replace(
            model,
            label=str(each.get("label") or f"type {number}"),
            quantity=int(each["count"]),
            widths=(length_of(str(each["width"]), problem.unit),),
            heights=(length_of(str(each["height"]), problem.unit),),
            diagonals=None,
        )
        for number, each in enumerate(types, start=1)
    )
    return replace(
        problem,
        openings=openings,
        catalogue=_on_sale(problem.catalogue),
        pinned_rails=(),
        pinned_blanks=(),
        numbering=(),
        parked=(),
    )


def _on_sale(catalogue: Catalogue) -> Catalogue:
    """Return stock lists with nothing on hand: what lies there belongs to the job that lists it."""
    return replace(
        catalogue,
        sticks=tuple(replace(stick, on_hand=0) for stick in catalogue.sticks if not stick.leftover),
        rolls=tuple(replace(roll, on_hand=0) for roll in catalogue.rolls if not roll.leftover),
        packs=tuple(replace(pack, on_hand=0) for pack in catalogue.packs),
        kits=tuple(replace(kit, on_hand=0) for kit in catalogue.kits),
    )


def _budget(problem: Problem, question: Mapping[str, Any], settings: JobSettings) -> Any:
    from service.revisions.words import length_of
    from solver.estimate import Roughness, estimate

    roughness = Roughness(
        side=length_of(question["play"], problem.unit),
        count=question["count_per_mille"],
        recuts=question["recuts_per_mille"],
    )
    found = estimate(problem, roughness, limits_of(settings))
    return {
        "low_cents": found.low,
        "likely_cents": found.likely,
        "high_cents": found.high,
        "screens": list(found.screens),
        "method": found.method,
        "buy": _to_buy(found.plan, problem.unit),
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
_ANSWERS_BEFORE: dict[str, Callable[[Problem, Mapping[str, Any], JobSettings], Any]] = {"estimate": _budget}
"""What can be answered before there is a plan."""
