"""Notices and faults gathered over a job: one notice names every opening it holds for."""

from __future__ import annotations

from dataclasses import dataclass

from solver.errors import ProblemFault
from solver.openings import Opening
from solver.plan import Kind, Notice


@dataclass(frozen=True, slots=True)
class Fault:
    """What stops an opening: the field to blame, what is wrong and what to write."""

    field: str
    message: str

    def at(self, opening: Opening) -> ProblemFault:
        """Return the fault as it stands for one opening, by its cell and its label."""
        return ProblemFault(source=opening.where(self.field), message=f"{opening.label}: {self.message}")


@dataclass(frozen=True, slots=True)
class Remark:
    """What a person should know of an opening, in words that hold for every opening like it."""

    kind: Kind
    topic: str
    message: str


_GRAVEST_FIRST = {Kind.CAUTION: 0, Kind.REVIEW: 1, Kind.NOTICE: 2}


class Remarks:
    """Remarks with the labels of the openings each holds for."""

    def __init__(self) -> None:
        self._labels: dict[Remark, list[str]] = {}

    def say(self, remark: Remark) -> None:
        """Note that a remark holds for the whole job."""
        self._labels[remark] = []

    def add(self, remark: Remark, label: str) -> None:
        """Note that a remark holds for an opening."""
        self._labels.setdefault(remark, []).append(label)

    def notices(self) -> tuple[Notice, ...]:
        """Return one notice a remark, the gravest first, else in the order they came up."""
        gravest = sorted(self._labels.items(), key=lambda pair: _GRAVEST_FIRST[pair[0].kind])
        return tuple(
            Notice(kind=remark.kind, topic=remark.topic, message=remark.message, openings=tuple(labels))
            for remark, labels in gravest
        )
