"""Kits opened: how many, what of them is used, and what they cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from solver.catalogue import Hardware, Kit
from solver.lengths import Unit, length_text
from solver.money import Cents
from solver.plan import KitContent, KitUse, PurchaseLine, RollGroup, StickGroup
from solver.problem import Problem
from solver.purchase.hardware import KitShare, amount_text, hardware_text


@dataclass(slots=True)
class _Taken:
    """What a plan takes out of the kits of one name; ``rack`` of it from kits on hand."""

    sticks: Counter[int] = field(default_factory=Counter)
    rack_sticks: Counter[int] = field(default_factory=Counter)
    mesh: int = 0
    rack_mesh: int = 0


def kit_uses(
    problem: Problem,
    stick_groups: Iterable[StickGroup],
    roll_groups: Iterable[RollGroup],
    bought: Mapping[str, int],
    shares: Sequence[KitShare],
) -> Iterator[KitUse]:
    """Yield what is used of each sort of kit that is bought or opened, in the order of the kits list.

    A kit's ``buy`` counts those opened; what is bought beyond them stays whole.

    Parameters
    ----------
    problem
        The job.
    stick_groups, roll_groups
        Every cut of the plan.
    bought
        Kits bought, by name.
    shares
        What of the kits' hardware is used.
    """
    taken: dict[str, _Taken] = {kit.name: _Taken() for kit in problem.catalogue.kits}
    for stick in (stick for group in stick_groups for stick in group.sticks if stick.from_kit):
        taken[stick.stock].sticks[stick.length] += 1
        taken[stick.stock].rack_sticks[stick.length] += not stick.bought
    for roll in (roll for group in roll_groups for roll in group.rolls if roll.from_kit):
        taken[roll.stock].mesh += 1
        taken[roll.stock].rack_mesh += not roll.bought
    for kit in problem.catalogue.kits:
        used: Counter[tuple[Hardware, str]] = Counter()
        for share in shares:
            if share.kit == kit.name:
                used[share.hardware, share.fits] += share.used
        use = _use(kit, taken[kit.name], used, problem.unit)
        if use.buy or use.on_hand or bought.get(kit.name):
            yield use


def _use(kit: Kit, taken: _Taken, hardware: Mapping[tuple[Hardware, str], int], unit: Unit) -> KitUse:
    """Return how many kits are opened: those the cuts come from, and as many more as the hardware asks for."""
    on_hand, opened = [0], [0]
    for sticks in kit.sticks:
        rack = taken.rack_sticks[sticks.length]
        on_hand.append(-(-rack // sticks.count))
        opened.append(-(-(taken.sticks[sticks.length] - rack) // sticks.count))
    if kit.mesh is not None:
        on_hand.append(-(-taken.rack_mesh // kit.mesh.count))
        opened.append(-(-(taken.mesh - taken.rack_mesh) // kit.mesh.count))
    most = max((-(-hardware.get((c.hardware, c.fits), 0) // c.amount) for c in kit.hardware), default=0)
    from_rack = min(kit.on_hand, max(max(on_hand), most - max(opened)))
    from_bought = max(max(opened), most - from_rack)
    kits = from_rack + from_bought
    contents = [
        KitContent(
            what=f"stick of {length_text(sticks.length, unit)}",
            there=sticks.count * kits,
            used=taken.sticks[sticks.length],
            length=sticks.length,
        )
        for sticks in kit.sticks
    ]
    contents += [
        KitContent(
            what=hardware_text(content.hardware, content.fits),
            there=content.amount * kits,
            used=hardware.get((content.hardware, content.fits), 0),
            by_length=content.hardware.by_length,
            hardware=content.hardware,
            fits=content.fits,
        )
        for content in kit.hardware
    ]
    if kit.mesh is not None:
        size = f"{length_text(kit.mesh.width, unit)} x {length_text(kit.mesh.length, unit)}"
        contents.append(
            KitContent(
                what=f"mesh {kit.mesh.mesh} {size}",
                there=kit.mesh.count * kits,
                used=taken.mesh,
                length=kit.mesh.length,
                width=kit.mesh.width,
            )
        )
    return KitUse(
        kit=kit.name,
        profile=kit.profile,
        colour=kit.colour,
        buy=from_bought,
        on_hand=from_rack,
        contents=tuple(contents),
    )


def kit_line(use: KitUse, kit: Kit, bought: int, unit: Unit) -> PurchaseLine:
    """Return the purchase line of kits bought and opened; what is not opened is left over whole."""
    bought = max(bought, kit.minimum) if bought else 0
    texts = [
        f"{content.what}, {_amount(content, content.used, unit)} of {_amount(content, content.there, unit)}"
        for content in use.contents
    ]
    rack = f"{use.on_hand} on hand; " if use.on_hand else ""
    least = f"; the least number sold is {kit.minimum}" if bought > use.buy and bought == kit.minimum else ""
    return PurchaseLine(
        stock=kit.name,
        what=f"kit {kit.profile} {kit.colour}".strip(),
        size=1,
        by_length=False,
        need=use.buy + use.on_hand,
        on_hand=use.on_hand,
        buy=bought,
        price=kit.price,
        cost=None if kit.price is None else Cents(kit.price * bought),
        left=bought - use.buy,
        supplier=kit.supplier,
        why=f"{rack}used: {'; '.join(texts)}{least}",
    )


def _amount(content: KitContent, amount: int, unit: Unit) -> str:
    return amount_text(content.hardware, amount, unit) if content.hardware is not None else f"{amount:,}"
