"""The rule of turns under load, simulated: what the waiting times in DEVELOPERS.md rest on."""

import math

from tests.speed.queue_simulation import Arrival, first_come, in_turn, simulate


def test_a_small_job_passes_a_giant_that_would_hold_it_up_for_hours() -> None:
    arrivals = [
        Arrival(at=0, tenant="giant", parts=[1.0] * 5_000),
        Arrival(at=100, tenant="small", parts=[1.0] * 3),
    ]
    (in_line,) = simulate(arrivals, workers=1, rule=first_come).done_after["small"]
    (by_turn,) = simulate(arrivals, workers=1, rule=in_turn).done_after["small"]
    assert in_line > 4_000
    assert by_turn <= 3 * 2 + 2


def test_the_giant_is_not_starved_by_small_jobs_either() -> None:
    small = [Arrival(at=n * 2.0, tenant=f"shop {n % 10}", parts=[1.0]) for n in range(1_000)]
    arrivals = sorted([Arrival(at=0, tenant="giant", parts=[1.0] * 1_000), *small], key=lambda job: job.at)
    (giant,) = simulate(arrivals, workers=1, rule=in_turn).done_after["giant"]
    assert giant <= 2_002


def test_a_tenant_that_hands_in_n_jobs_at_once_gets_at_most_1_plus_ln_n_shares() -> None:
    crowd = [Arrival(at=0, tenant="crowd", parts=[1.0] * 10) for _ in range(20)]
    arrivals = [*crowd, Arrival(at=1, tenant="one", parts=[1.0] * 10)]
    (one,) = simulate(arrivals, workers=1, rule=in_turn).done_after["one"]
    alone = 10
    assert one <= alone * (1 + 1 + math.log(20)) + 2
