"""Records as table rows and back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.job_settings import JobSettings
from service.jobs.records import Attachment, Job, JobKind, JobState, Part, PartState, Task
from service.record_json import from_json, to_json
from service.sheets.findings import Finding

_PART_FIELDS = tuple(Part.__dataclass_fields__)


def job_row(job: Job) -> dict[str, Any]:
    """Return a job as a row; its documents have a table of their own."""
    return {
        "id": job.id,
        "tenant": job.tenant,
        "name": job.name,
        "settings": job.settings.model_dump_json(exclude_defaults=True),
        "upload_name": job.upload.name,
        "upload_digest": job.upload.digest,
        "upload_size": job.upload.size,
        "created": job.created,
        "changed": job.changed,
        "state": job.state.value,
        "version": job.version,
        "findings": to_json(tuple[Finding, ...], job.findings).decode(),
        "trouble": job.trouble,
        "problem": job.problem,
        "kind": job.kind.value,
        "parent": job.parent,
        "root": job.root,
    }


def job_of(row: Mapping[Any, Any], documents: tuple[Attachment, ...]) -> Job:
    """Return the job of a row with its documents."""
    return Job(
        id=row["id"],
        tenant=row["tenant"],
        name=row["name"],
        settings=JobSettings.model_validate_json(row["settings"]),
        upload=Attachment(name=row["upload_name"], digest=row["upload_digest"], size=row["upload_size"]),
        created=row["created"],
        changed=row["changed"],
        state=JobState(row["state"]),
        version=row["version"],
        findings=from_json(tuple[Finding, ...], row["findings"]),
        trouble=row["trouble"],
        problem=row["problem"],
        documents=documents,
        kind=JobKind(row["kind"]),
        parent=row["parent"],
        root=row["root"],
    )


def part_row(part: Part) -> dict[str, Any]:
    """Return a part as a row; costs can be wider than 64 bits, so they are kept as text."""
    row = {name: getattr(part, name) for name in _PART_FIELDS}
    row |= {"task": part.task.value, "state": part.state.value}
    row |= {name: None if row[name] is None else str(row[name]) for name in ("cost", "bound")}
    return row


def part_of(row: Mapping[Any, Any]) -> Part:
    """Return the part of a row."""
    fields = {name: row[name] for name in _PART_FIELDS}
    fields |= {"task": Task(row["task"]), "state": PartState(row["state"])}
    fields |= {name: None if row[name] is None else int(row[name]) for name in ("cost", "bound")}
    return Part(**fields)
