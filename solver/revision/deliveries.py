"""What came of what a plan bought: the purchase list less what is missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from solver.catalogue import Catalogue, Hardware
from solver.errors import ProblemError, ProblemFault
from solver.events import Event, ShortDelivery
from solver.plan import Plan, PurchaseLine


@dataclass(frozen=True, kw_only=True, slots=True)
class Deliveries:
    """Numbers that came, by name of stock: sticks, rolls, selling steps, kits; packs; hardware without a pack.

    ``gone`` names stock of which no more can be had.
    """

    sticks: Counter[str]
    rolls: Counter[str]
    kits: Counter[str]
    packs: Counter[str]
    unlisted: Counter[tuple[Hardware, str]]
    gone: frozenset[str]


def deliveries(catalogue: Catalogue, plan: Plan, events: Iterable[Event]) -> Deliveries:
    """Return what came, all of the purchase list unless an event says otherwise.

    Raises
    ------
    ProblemError
        If more is missing than was bought.
    """
    came = Deliveries(
        sticks=Counter(), rolls=Counter(), kits=Counter(), packs=Counter(), unlisted=Counter(), gone=frozenset()
    )
    for line in plan.purchases:
        if line.stock:
            _counter(came, line)[line.stock] += line.buy * (line.size if line.what.startswith("stick ") else 1)
        elif not line.what.startswith("delivery by "):
            came.unlisted[hardware_of(line.what)] += line.buy * line.size
    short = [event for event in events if isinstance(event, ShortDelivery)]
    faults = []
    for event in short:
        counter = next((c for c in (came.sticks, came.rolls, came.kits, came.packs) if event.stock in c), came.sticks)
        if event.missing > counter[event.stock]:
            message = (
                f"{event.stock}: {event.missing} are missing, but only {counter[event.stock]} were bought by this plan;"
                " what an earlier plan of the chain bought and nobody finds is reported as not there"
            )
            faults.append(ProblemFault(source="", message=message))
        counter[event.stock] -= event.missing
    if faults:
        raise ProblemError(tuple(faults))
    return Deliveries(
        sticks=came.sticks,
        rolls=came.rolls,
        kits=came.kits,
        packs=came.packs,
        unlisted=came.unlisted,
        gone=frozenset(event.stock for event in short if event.gone),
    )


def _counter(came: Deliveries, line: PurchaseLine) -> Counter[str]:
    first = line.what.partition(" ")[0] if " " in line.what or line.what in ("stick", "roll", "kit") else ""
    if line.what.startswith("running length"):
        return came.rolls
    return {"stick": came.sticks, "roll": came.rolls, "kit": came.kits}.get(first, came.packs)


def hardware_of(what: str) -> tuple[Hardware, str]:
    """Return the hardware that a purchase line without a pack is about, and what it fits.

    Examples
    --------
    >>> hardware_of("corner 5/16"), hardware_of("fall caution label")
    ((<Hardware.CORNER: 'corner'>, '5/16'), (<Hardware.FALL_LABEL: 'fall caution label'>, ''))
    """
    fitting = [hardware for hardware in Hardware if f"{what} ".startswith(f"{hardware.value} ")]
    hardware = max(fitting, key=lambda hardware: len(hardware.value))
    return hardware, what.removeprefix(hardware.value).strip()
