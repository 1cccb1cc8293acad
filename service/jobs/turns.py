"""Whose turn it is: fair between tenants, and between the jobs of one tenant.

Start-time fair queueing: each part gets a number when it is queued, the least
is served first. A job's parts lie apart by a stride that grows with the number
of jobs its tenant has under way, so a tenant with a hundred jobs that keep
coming gets on as fast as one with a single job (one that hands in n at once
gets at most 1 + ln n shares), and a job of one part is served before most of a
job of 20,000, whoever queued first.

References
----------
P. Goyal, H. M. Vin, H. Cheng, "Start-time fair queueing: a scheduling algorithm
for integrated services packet switching networks", IEEE/ACM Transactions on
Networking 5(5), 1997. The stride by jobs under way is our own addition.
"""

from __future__ import annotations

from collections.abc import Sequence

STEP = 1_000
_PIECES_FOR_A_STEP = 500


def turns(next_turn: int, active_jobs: int, weights: Sequence[int]) -> list[int]:
    """Return the turn of each part that is queued now.

    Parameters
    ----------
    next_turn
        The turn that is up as these parts are queued.
    active_jobs
        How many jobs the tenant has under way, this one included.
    weights
        Pieces each part cuts, in the order in which the parts should be done.

    Examples
    --------
    >>> turns(5_000, 1, [10, 10]), turns(5_000, 3, [10, 10])
    ([6020, 7040], [8060, 11120])
    """
    turn, stride = next_turn, max(active_jobs, 1)
    given = []
    for weight in weights:
        turn += stride * (STEP + STEP * weight // _PIECES_FOR_A_STEP)
        given.append(turn)
    return given
