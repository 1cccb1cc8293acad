"""Small jobs on a desk and a bench."""

from collections.abc import Sequence

from service.job_settings import JobSettings
from service.jobs.bench import Bench, NewPart
from service.jobs.desk import Desk, Wish
from service.jobs.records import Attachment, Claim, Job
from service.sheets.findings import Finding, Verdict

DIGEST = "ab" * 32


def a_wish(tenant: str = "shop", name: str = "block A.xlsx", key: str | None = None, **settings: object) -> Wish:
    upload = Attachment(name=name, digest=DIGEST, size=10)
    return Wish(tenant=tenant, upload=upload, settings=JobSettings.model_validate(settings), key=key)


def new_parts(count: int, weight: int = 1) -> list[NewPart]:
    return [NewPart(name=f"rails {number}", payload=DIGEST, weight=weight) for number in range(count)]


def claimed(bench: Bench, owner: str = "worker") -> Claim:
    claim = bench.claim(owner)
    assert claim is not None
    return claim


def solving_job(desk: Desk, bench: Bench, parts: int, tenant: str = "shop") -> Job:
    """A job whose check is done and whose parts are queued; nothing else may be queued before it."""
    job = desk.accept(a_wish(tenant))
    claim = claimed(bench)
    assert claim.job.id == job.id
    bench.checked(claim, (), DIGEST, new_parts(parts))
    return desk.job(tenant, job.id)


def solve_all(bench: Bench, count: int) -> None:
    for _ in range(count):
        bench.solved(claimed(bench), DIGEST)


def question(cell: str = "C7") -> Finding:
    return Finding(sheet="openings", cell=cell, verdict=Verdict.QUESTION, message="8 March is a date", proposal="3/8")


def error(cell: str = "C8") -> Finding:
    return Finding(sheet="openings", cell=cell, verdict=Verdict.ERROR, message="TBD is no length")


def names(claims: Sequence[Claim]) -> list[str]:
    return [claim.part.name for claim in claims]
