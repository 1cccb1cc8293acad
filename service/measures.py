"""What the service measures of itself, for prometheus."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.registry import Collector

_SECONDS = (0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 60, 120, 300)
_ANSWER_SECONDS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 5)
_GAPS = (0, 0.0001, 0.001, 0.005, 0.01, 0.02, 0.05, 0.1)

MEDIA_TYPE = "text/plain; version=0.0.4; charset=utf-8"


@dataclass(frozen=True, kw_only=True, slots=True)
class QueueReading:
    """The queue at one moment: parts by state, and the age in seconds of the part that has waited longest."""

    parts: dict[str, int]
    oldest_seconds: float


class Measures:
    """Counters and histograms of one service, and its queue as read when asked."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self.parts = Histogram(
            "screenbatch_part_seconds",
            "Seconds a part took, by task and how it ended.",
            ["task", "outcome"],
            registry=self.registry,
            buckets=_SECONDS,
        )
        self.gaps = Histogram(
            "screenbatch_part_gap_ratio",
            "How far a solved part is above its proven bound, as a share; 0 is proven.",
            registry=self.registry,
            buckets=_GAPS,
        )
        self.jobs = Counter(
            "screenbatch_jobs_ended",
            "Jobs that workers of this process brought to an end, by state.",
            ["state"],
            registry=self.registry,
        )
        self.answers = Histogram(
            "screenbatch_request_seconds",
            "Seconds until an answer began, by method and status.",
            ["method", "status"],
            registry=self.registry,
            buckets=_ANSWER_SECONDS,
        )

    def watch_queue(self, read: Callable[[], QueueReading]) -> None:
        """Read the queue from now on whenever somebody asks for the measures."""
        self.registry.register(_Queue(read))

    def page(self) -> bytes:
        """Return everything in prometheus' text format."""
        return generate_latest(self.registry)


class _Queue(Collector):
    def __init__(self, read: Callable[[], QueueReading]) -> None:
        self._read = read

    def describe(self) -> Iterable[GaugeMetricFamily]:
        """Return nothing: the store is asked only when somebody wants to know."""
        return []

    def collect(self) -> Iterable[GaugeMetricFamily]:
        """Return the queue as it is."""
        reading = self._read()
        parts = GaugeMetricFamily("screenbatch_queue_parts", "Parts that have not ended, by state.", labels=["state"])
        for state, number in sorted(reading.parts.items()):
            parts.add_metric([state], number)
        yield parts
        oldest = "Age of the queued part that has waited longest."
        yield GaugeMetricFamily("screenbatch_queue_oldest_seconds", oldest, value=reading.oldest_seconds)
