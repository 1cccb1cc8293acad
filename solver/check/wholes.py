"""What a purchase list brought, counted from its lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from solver.catalogue import Hardware
from solver.events import Event, ShortDelivery
from solver.plan import Plan
from solver.problem import Problem


@dataclass(kw_only=True, slots=True)
class BoughtPieces:
    """By name of stock: sticks, rolls or selling steps, packs; hardware without a pack; kits opened and kits whole."""

    sticks: Counter[str] = field(default_factory=Counter)
    rolls: Counter[str] = field(default_factory=Counter)
    packs: Counter[str] = field(default_factory=Counter)
    unlisted: Counter[tuple[object, str]] = field(default_factory=Counter)
    opened: Counter[str] = field(default_factory=Counter)
    whole_kits: Counter[str] = field(default_factory=Counter)


def bought_pieces(problem: Problem, plan: Plan, events: Sequence[Event]) -> BoughtPieces:
    """Return what came; a short delivery is taken off the first kind of stock of its name."""
    came = BoughtPieces()
    kinds = (
        ({stick.name for stick in problem.catalogue.sticks}, came.sticks, "stick"),
        ({roll.name for roll in problem.catalogue.rolls}, came.rolls, "roll"),
        ({kit.name for kit in problem.catalogue.kits}, came.whole_kits, "kit"),
        ({pack.name for pack in problem.catalogue.packs}, came.packs, ""),
    )
    for line in plan.purchases:
        if not line.stock and not line.what.startswith("delivery by "):
            kind = max((h for h in Hardware if line.what.startswith(h.value)), key=lambda h: len(h.value))
            came.unlisted[kind, line.what[len(kind.value) :].strip()] += line.buy * line.size
        first = line.what.split(" ")[0].replace("running", "roll")
        named = [counter for names, counter, word in kinds if line.stock in names and word in ("", first)]
        if named:
            named[0][line.stock] += line.buy * (line.size if named[0] is came.sticks else 1)
    for event in events:
        if isinstance(event, ShortDelivery):
            held = [counter for _, counter, _ in kinds if counter[event.stock] > 0]
            for counter in held[:1]:
                counter[event.stock] -= event.missing
    for use in plan.kits:
        bought = min(use.buy, came.whole_kits[use.kit])
        came.opened[use.kit] = use.on_hand + bought
        came.whole_kits[use.kit] -= bought
    return came
