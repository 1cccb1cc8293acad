"""How fast one caller may ask: a bucket that fills steadily and empties by a drop a request."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

_MOST_CALLERS = 10_000


@dataclass(slots=True)
class _Bucket:
    drops: float
    at: float


class Pace:
    """Buckets by caller; only the callers heard last are remembered."""

    def __init__(self, per_second: float, burst: int, clock: Callable[[], float]) -> None:
        self._per_second = per_second
        self._burst = burst
        self._clock = clock
        self._buckets: OrderedDict[str, _Bucket] = OrderedDict()

    def wait(self, caller: str) -> int:
        """Take a drop from a caller's bucket; return 0, or in how many whole seconds the next one is there."""
        now = self._clock()
        bucket = self._buckets.pop(caller, None) or _Bucket(self._burst, now)
        bucket.drops = min(self._burst, bucket.drops + (now - bucket.at) * self._per_second)
        bucket.at = now
        self._buckets[caller] = bucket
        if len(self._buckets) > _MOST_CALLERS:
            self._buckets.popitem(last=False)
        if bucket.drops < 1:
            return math.ceil((1 - bucket.drops) / self._per_second)
        bucket.drops -= 1
        return 0
