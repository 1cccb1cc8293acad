"""What the numbers of a running part count: money or material, found from what the part was given."""

from __future__ import annotations

import re
from collections import OrderedDict
from dataclasses import dataclass
from os import SEEK_END
from typing import TypeVar

from service.documents.certainty import measured_text
from service.jobs.files import FileStore
from service.jobs.records import Job, Part, Task
from service.record_json import from_json
from solver.lengths import Unit
from solver.parts.offers import RollOffer, StickOffer, roll_offers, stick_offers
from solver.parts.record import BasketPart, BlankPart, RailPart

Value = TypeVar("Value")
_TAIL = 1 << 16
_KEPT = 2_000
_LARGEST = 8 << 20
"""A part given more than this many bytes is not read for the sake of a word; only its gap is shown."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PartMeasure:
    """How a part counts: ``measure`` as a proof names it, with the job's unit and currency."""

    measure: str
    unit: Unit
    currency: str

    def text(self, amount: int) -> str:
        """Return an amount in money, or in material.

        Examples
        --------
        >>> PartMeasure(measure="cents", unit=Unit.INCH, currency="USD").text(41_940)
        '419.40 USD'
        """
        return measured_text(self.measure, amount, self.unit, self.currency)


class PartMeasures:
    """Finds how parts count, and keeps it: what a part was given never changes."""

    def __init__(self, files: FileStore) -> None:
        self._files = files
        self._parts: OrderedDict[str, tuple[str, Unit] | None] = OrderedDict()
        self._currencies: OrderedDict[str, str] = OrderedDict()

    def of(self, job: Job, part: Part) -> PartMeasure | None:
        """Return how a part counts, None where that cannot be told or costs more than it tells."""
        if part.task is not Task.SOLVE or not part.payload:
            return None
        if part.payload not in self._parts:
            _keep(self._parts, part.payload, self._measure(part.payload))
        if job.problem not in self._currencies:
            _keep(self._currencies, job.problem, self._currency(job.problem))
        found = self._parts[part.payload]
        if found is None:
            return None
        return PartMeasure(measure=found[0], unit=found[1], currency=self._currencies[job.problem])

    def _measure(self, digest: str) -> tuple[str, Unit] | None:
        try:
            with self._files.open(digest) as given:
                content = given.read(_LARGEST + 1)
            return None if len(content) > _LARGEST else _measure(content)
        except (FileNotFoundError, ValueError):
            return None

    def _currency(self, digest: str) -> str:
        """Return the currency of a problem, read from its end: the openings before it may be many megabytes."""
        try:
            with self._files.open(digest) as problem:
                problem.seek(0, SEEK_END)
                problem.seek(max(0, problem.tell() - _TAIL))
                found = re.findall(rb'"currency":"([^"\\]{0,12})"', problem.read())
        except (FileNotFoundError, ValueError):
            return ""
        return found[-1].decode(errors="ignore") if found else ""


def _measure(content: bytes) -> tuple[str, Unit]:
    part: RailPart | BlankPart | BasketPart = from_json(RailPart | BlankPart | BasketPart, content)
    if isinstance(part, BasketPart):
        return "cents", Unit.INCH
    offers: list[StickOffer] | list[RollOffer]
    offers = stick_offers(part) if isinstance(part, RailPart) else roll_offers(part)
    if all(offer.price is not None for offer in offers if offer.bought):
        return "cents", part.unit
    return "ticks" if isinstance(part, RailPart) else "square ticks", part.unit


def _keep(kept: OrderedDict[str, Value], digest: str, value: Value) -> None:
    kept[digest] = value
    while len(kept) > _KEPT:
        kept.popitem(last=False)
