"""What a part may cut from: equal sticks or equal rolls, from the stock list or a kit, to buy or on the rack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.catalogue import Kit, RollStock, StickStock
from solver.lengths import Ticks
from solver.money import Cents
from solver.parts.record import BlankPart, RailPart
from solver.rules import Rules


@dataclass(frozen=True, kw_only=True, slots=True)
class StickOffer:
    """Equal sticks: ``usable`` between the trims, ``head_trim`` cut off the first end.

    ``price`` is for one to buy and None on the rack; ``limit`` is how many there
    are (None: no cap). ``stock`` is the name of the stick, or of the kit they
    come from.
    """

    stock: str
    length: Ticks
    usable: Ticks
    head_trim: Ticks
    bought: bool
    price: Cents | None = None
    limit: int | None = None
    bundle: tuple[int, Cents] | None = None
    from_kit: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class RollOffer:
    """Equal rolls, or running length where ``length`` is None: ``usable`` between the selvages.

    ``price`` is for a roll or a ``step`` to buy and None on the rack; ``limit``
    is how many there are (None: no cap). ``stock`` is the name of the roll, or
    of the kit a piece of mesh comes from.
    """

    stock: str
    width: Ticks
    usable: Ticks
    length: Ticks | None
    bought: bool
    step: Ticks | None = None
    price: Cents | None = None
    limit: int | None = None
    from_kit: bool = False


def stick_offers(part: RailPart) -> list[StickOffer]:
    """Return every stick of a part that holds at least one of its rails; the rack comes first."""
    shortest = min(run.length for run in part.runs)
    offers = [*_sticks(part.sticks, part.rules, bought=False)]
    for kit in part.kits:
        if kit.on_hand:
            offers += kit_sticks(kit, part.rules, kit.on_hand, bought=False)
    offers += _sticks(part.sticks, part.rules, bought=True)
    return [offer for offer in offers if offer.usable >= shortest]


def _sticks(sticks: tuple[StickStock, ...], rules: Rules, *, bought: bool) -> Iterator[StickOffer]:
    for stick in sticks:
        if not (stick.on_sale and stick.limit != 0 if bought else stick.on_hand):
            continue
        bundle = None
        if bought and stick.bundle is not None and stick.bundle_price is not None:
            bundle = (stick.bundle, stick.bundle_price)
        yield StickOffer(
            stock=stick.name,
            length=stick.length,
            usable=stick.usable_length(rules.end_trim),
            head_trim=Ticks(0) if stick.leftover else rules.end_trim,
            bought=bought,
            price=stick.price if bought else None,
            limit=stick.limit if bought else stick.on_hand,
            bundle=bundle,
        )


def kit_sticks(kit: Kit, rules: Rules, kits: int, *, bought: bool) -> Iterator[StickOffer]:
    """Yield the sticks of so many kits, each length apart; they cost nothing beyond the kits."""
    for sticks in kit.sticks:
        yield StickOffer(
            stock=kit.name,
            length=sticks.length,
            usable=Ticks(sticks.length - 2 * rules.end_trim),
            head_trim=rules.end_trim,
            bought=bought,
            price=Cents(0) if bought else None,
            limit=sticks.count * kits,
            from_kit=True,
        )


def roll_offers(part: BlankPart) -> list[RollOffer]:
    """Return every roll of a part that is wide enough for at least one of its blanks; the rack comes first."""
    narrowest = min(min(run.width, run.height) if part.either_way else run.width for run in part.runs)
    offers = [*_rolls(part.rolls, part.rules, bought=False)]
    for kit in part.kits:
        if kit.on_hand:
            offers += kit_mesh(kit, part.rules, kit.on_hand, bought=False)
    offers += _rolls(part.rolls, part.rules, bought=True)
    return [offer for offer in offers if offer.usable >= narrowest]


def _rolls(rolls: tuple[RollStock, ...], rules: Rules, *, bought: bool) -> Iterator[RollOffer]:
    for roll in rolls:
        if roll.on_sale and roll.limit != 0 if bought else roll.on_hand:
            yield RollOffer(
                stock=roll.name,
                width=roll.width,
                usable=roll.usable_width(rules.selvage_trim),
                length=roll.length,
                step=roll.step,
                bought=bought,
                price=roll.price if bought else None,
                limit=roll.limit if bought else roll.on_hand,
            )


def kit_mesh(kit: Kit, rules: Rules, kits: int, *, bought: bool) -> Iterator[RollOffer]:
    """Yield the mesh pieces of so many kits, if there are any; they cost nothing beyond the kits."""
    if kit.mesh is not None:
        yield RollOffer(
            stock=kit.name,
            width=kit.mesh.width,
            usable=Ticks(kit.mesh.width - 2 * rules.selvage_trim),
            length=kit.mesh.length,
            bought=bought,
            price=Cents(0) if bought else None,
            limit=kit.mesh.count * kits,
            from_kit=True,
        )
