"""The questions put to a guarded child, with what each may use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from service.engine.bundle import pack
from service.engine.calls import Call
from service.job_settings import JobSettings
from service.machine_memory import usual_part_memory

FINDINGS = "findings"
"""Name of the findings in an answer; an answer of findings and nothing but a marked file is a refusal."""

CHECKED = ("checked.xlsx", "checked.xlsm", "checked.ods")
"""Names of the user's own file with its faults marked, beside the findings of a refusal; one at most."""

REFUSAL = {FINDINGS, *CHECKED}
"""All that the answer of a refusal may hold."""

COLUMNS = "columns"
"""Name of the user's own column mapping, by the shape of its table, to be remembered."""

PLAN_RECORD = "plan"
"""Name of the plan as a record in the answer of assembling it; every other name is a document's."""


RACK = "rack.json"
"""Name of what a plan means for the rack in an answer; kept with the job's documents and offered to nobody."""

ANSWER = "answer.json"
"""Name of the document that answers a question about a plan."""

DIFFERENCE = "difference.json"
"""Name of a revision's difference to the one before, a document."""

PROBLEM = "problem"
"""Name of the revised problem in the answer of a revision; every other name is a document's."""

_PLANS = 12
"""Plans that one question may have to make, for its deadline."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Allowance:
    """What a call may use at most: bytes of memory, and seconds beyond what the job's own limit explains."""

    memory: int = field(default_factory=usual_part_memory)
    check_seconds: float = 60.0
    spare_seconds: float = 30.0
    assemble_seconds: float = 300.0
    papers_seconds: float = 900.0

    def check(self, settings: JobSettings, files: bytes, rack: bytes = b"[]") -> Call:
        """Return the call that reads job files, a bundle by name, and splits the job into parts.

        ``rack`` are the leftovers that the job may be planned with, as JSON.
        """
        payload = {"settings": _text(settings), "files": files, "rack": rack}
        return self._call("check", payload, self.check_seconds)

    def solve(self, settings: JobSettings, part: bytes) -> Call:
        """Return the call that solves one part, given as JSON.

        The solver keeps the job's time limit itself, within a tenth; this
        deadline is for the day it does not.
        """
        payload = {"settings": _text(settings), "part": part}
        return self._call("solve", payload, 1.1 * settings.seconds + self.spare_seconds)

    def assemble(self, settings: JobSettings, problem: bytes, groups: Mapping[str, bytes]) -> Call:
        """Return the call that puts the groups of all parts together and writes the plan's documents."""
        payload = {"settings": _text(settings), "problem": problem, **groups}
        return self._call("assemble", payload, self.assemble_seconds)

    def write_papers(self, settings: JobSettings, problem: bytes, plan: bytes, job_id: str, day: date) -> Call:
        """Return the call that writes what the shop prints."""
        payload = {"settings": _text(settings), "problem": problem, "plan": plan}
        payload |= {"job": job_id.encode(), "day": day.isoformat().encode()}
        return self._call("write_papers", payload, self.papers_seconds)

    def revise(self, settings: JobSettings, asked: Mapping[str, bytes], rack: bytes, job_id: str) -> Call:
        """Return the call that plans again: ``asked`` holds revision, events, price, what is handed over."""
        payload = {"settings": _text(settings), "rack": rack, "job": job_id.encode(), **asked}
        seconds = 2.2 * settings.seconds + self.assemble_seconds + self.papers_seconds
        return self._call("revise", payload, seconds, "after_plan")

    def answer(self, settings: JobSettings, asked: Mapping[str, bytes]) -> Call:
        """Return the call that answers a question about a plan."""
        payload = {"settings": _text(settings), **asked}
        return self._call("answer", payload, settings.seconds * _PLANS + self.spare_seconds, "after_plan")

    def labels(self, settings: JobSettings, revision: bytes, codes: bytes, job_id: str) -> Call:
        """Return the call that prints the labels of some pieces, by their codes as JSON."""
        payload = {"settings": _text(settings), "revision": revision, "codes": codes, "job": job_id.encode()}
        return self._call("labels", payload, self.check_seconds, "after_plan")

    def settle(self, revision: bytes) -> Call:
        """Return the call that says what a plan means for the rack."""
        return self._call("settle", {"revision": revision}, self.check_seconds, "after_plan")

    def event_rows(self, files: Mapping[str, bytes]) -> Call:
        """Return the call that reads sheets of events."""
        return self._call("event_rows", files, self.check_seconds, "after_plan")

    def leftover_rows(self, name: str, file: bytes, unit: str) -> Call:
        """Return the call that reads a list of leftovers; bare numbers are in ``unit``."""
        payload = {"name": name.encode(), "file": file, "unit": unit.encode()}
        return self._call("leftover_rows", payload, self.check_seconds, "after_plan")

    def _call(self, task: str, payload: Mapping[str, bytes], seconds: float, module: str = "tasks") -> Call:
        return Call(task=f"service.engine.{module}:{task}", payload=pack(payload), seconds=seconds, memory=self.memory)


def _text(settings: JobSettings) -> bytes:
    return settings.model_dump_json().encode()
