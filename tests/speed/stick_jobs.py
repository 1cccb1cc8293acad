"""Real-looking stick jobs, generated: same numbers for the same seed on every machine."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass

from solver.sticks.model import CuttingStock, StockLength

INCH = 8_128
"""Ticks in an inch; a millimetre has 320."""
MM = 320

PRICE_TABLES = ("long is cheap", "proportional", "freight", "uneven")


@dataclass(frozen=True, kw_only=True, slots=True)
class Job:
    """What a generated job looks like.

    ``types`` counts distinct window types. ``fine`` readings are tenths of a
    millimetre. With ``bundle`` every length also comes in bundles of so many,
    otherwise ``bundles`` gives some lengths bundles by chance.
    """

    screens: int
    types: int
    seed: int
    metric: bool = False
    table: str = PRICE_TABLES[0]
    leftovers: int = 0
    bundles: bool = False
    mitred: bool = False
    fine: bool = False
    bundle: int = 0

    @property
    def name(self) -> str:
        """A short name that tells the jobs of a table apart."""
        unit = "mm" if self.metric else "in"
        more = f", {self.leftovers} leftovers" if self.leftovers else ""
        more += ", bundles" if self.bundles else ""
        more += f", bundles of {self.bundle}" if self.bundle else ""
        more += ", fine" if self.fine else ""
        return f"{self.screens}/{self.types} {unit}, {self.table}{more}, seed {self.seed}"


def cutting_stock(job: Job) -> CuttingStock:
    """Return the job's rails and stock in ticks, prices in cents."""
    chance = random.Random(f"{job.seed} {job.screens} {job.types} {job.metric} {job.table}")
    unit = MM // 10 if job.fine else MM if job.metric else INCH // 16
    rails: Counter[int] = Counter()
    sizes = []
    for _ in range(min(job.types, job.screens)):
        width, height = chance.uniform(18, 50), chance.uniform(22, 74)
        sizes.append((round(width * INCH / unit) * unit, round(height * INCH / unit) * unit))
    shares = [chance.expovariate(1.0) + 0.05 for _ in sizes]
    windows = list(range(len(sizes)))
    windows += chance.choices(range(len(sizes)), weights=shares, k=job.screens - len(sizes))
    legs = 0 if job.mitred else (38 * MM if job.metric else 3 * INCH // 2)
    for window in windows:
        for side in sizes[window]:
            rails[side - legs] += 2
    kerf = (3 * MM if job.metric else INCH // 8) if not job.mitred else (4 * MM if job.metric else 3 * INCH // 16)
    lengths = sorted(rails, reverse=True)
    return CuttingStock(
        lengths=tuple(lengths),
        counts=tuple(rails[length] for length in lengths),
        kerf=kerf,
        stock=_stock(job, chance),
    )


def _stock(job: Job, chance: random.Random) -> tuple[StockLength, ...]:
    if job.metric:
        on_sale = chance.sample([2000, 2400, 2500, 3000, 3600, 4000, 4800, 5000, 6000, 6500], chance.randint(3, 5))
        lengths = [mm * MM for mm in {*on_sale, 3000}]
        trim = 6 * MM
    else:
        on_sale = chance.sample([84, 94, 96, 120, 144, 146, 168, 192, 216, 240, 288], chance.randint(3, 5))
        lengths = [inch * INCH for inch in {*on_sale, 96}]
        trim = INCH // 4
    stock = []
    for length in sorted(lengths):
        price = _price(job, length, chance)
        bundle = None
        if job.bundle:
            bundle = (job.bundle, round(job.bundle * price * 0.92))
        elif job.bundles and chance.random() < 0.6:
            size = chance.choice([5, 10, 25, 50])
            bundle = (size, round(size * price * chance.uniform(0.86, 0.97)))
        stock.append(StockLength(length=length - 2 * trim, cost=price, bundle=bundle))
    for _ in range(job.leftovers):
        length = chance.randint(12 * 16, 90 * 16) * (INCH // 16) // (MM if job.metric else 1)
        length = length * MM if job.metric else length
        stock.append(StockLength(length=length - trim, cost=0, limit=1))
    return tuple(stock)


def _price(job: Job, length: int, chance: random.Random) -> int:
    inches = length / INCH
    if job.table == "proportional":
        return length // (MM * 50 if job.metric else INCH * 2) * 20
    if job.table == "freight":
        return round(200 + 10 * inches + (900 if inches > 150 else 0))
    if job.table == "uneven":
        return round((150 + 10 * inches) * chance.uniform(0.93, 1.07))
    return round(250 + 9.1 * inches)
