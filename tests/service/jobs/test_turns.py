"""Whose turn it is."""

from service.jobs.bench import Bench, NewPart
from service.jobs.desk import Desk
from service.jobs.memory_store import MemoryStore
from tests.service.jobs.job_builders import DIGEST, a_wish, claimed, solving_job


def served(bench: Bench, count: int) -> list[str]:
    """The tenants of the next parts, each solved at once."""
    tenants = []
    for _ in range(count):
        claim = claimed(bench)
        tenants.append(claim.part.tenant)
        if claim.part.task.value == "check":
            bench.failed(claim, "enough for this test")
        else:
            bench.solved(claim, DIGEST)
    return tenants


def test_a_small_job_is_not_starved_by_a_large_one_that_came_first() -> None:
    store = MemoryStore()
    desk, bench = Desk(store), Bench(store)
    solving_job(desk, bench, parts=500, tenant="large shop")
    served(bench, 20)
    desk.accept(a_wish("small shop"))
    assert "small shop" in served(bench, 3)


def test_a_tenants_small_job_is_not_starved_by_its_own_large_one() -> None:
    store = MemoryStore()
    desk, bench = Desk(store), Bench(store)
    solving_job(desk, bench, parts=500, tenant="shop")
    served(bench, 20)
    small = desk.accept(a_wish("shop"))
    ids = []
    for _ in range(4):
        claim = claimed(bench)
        ids.append(claim.job.id)
        bench.failed(claim, "enough") if claim.job.id == small.id else bench.solved(claim, DIGEST)
    assert small.id in ids


def test_many_small_jobs_of_one_tenant_get_no_more_than_one_job_of_another() -> None:
    store = MemoryStore()
    desk, bench = Desk(store), Bench(store)
    for _ in range(50):
        desk.accept(a_wish("busy shop"))
    for _ in range(3):
        desk.accept(a_wish("calm shop"))
    assert served(bench, 6).count("calm shop") == 3


def test_who_takes_light_parts_alone_passes_the_heavy_ones_by() -> None:
    store = MemoryStore()
    desk, bench = Desk(store), Bench(store)
    desk.accept(a_wish())
    heavy = NewPart(name="rails heavy", payload=DIGEST, weight=5_000)
    light = NewPart(name="rails light", payload=DIGEST, weight=20)
    bench.checked(claimed(bench), (), DIGEST, [heavy, light])
    assert bench.claim("worker", most_weight=10) is None
    claim = bench.claim("worker", most_weight=200)
    assert claim is not None
    assert claim.part.name == "rails light"
    assert claimed(bench).part.name == "rails heavy"
