"""Hardware: needs added up over all screens, covered by packs and by what opened kits hold."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from solver.catalogue import Hardware, Kit, Pack
from solver.lengths import Unit, length_text
from solver.money import Cents
from solver.plan import PurchaseLine, Screen
from solver.problem import Problem
from solver.purchase.packs import PackChoice, cheapest_packs


@dataclass(frozen=True, kw_only=True, slots=True)
class KitShare:
    """How much of one content of some kits serves the job."""

    kit: str
    hardware: Hardware
    fits: str
    used: int


@dataclass(frozen=True, kw_only=True, slots=True)
class HardwarePurchase:
    """The purchase lines for hardware, and what kits hold of it that is used."""

    lines: tuple[PurchaseLine, ...]
    from_kits: tuple[KitShare, ...]


def hardware_needs(screens: Iterable[Screen]) -> dict[Hardware, Counter[str]]:
    """Return how much of each kind of hardware all screens need, by what it must fit."""
    needs: dict[Hardware, Counter[str]] = defaultdict(Counter)
    for screen in screens:
        for need in screen.needs:
            needs[need.hardware][need.fits] += need.amount * screen.quantity
    return needs


def with_spares(need: int, per_mille: int) -> int:
    """Return a need with its spares, rounded up.

    Examples
    --------
    >>> with_spares(480, 20)
    490
    """
    return need + -(-need * per_mille // 1_000)


def hardware_wants(problem: Problem, screens: Iterable[Screen]) -> dict[Hardware, dict[str, int]]:
    """Return how much of each kind is wanted, spares included, by kind in a fixed order and by what it must fit."""
    needs = hardware_needs(screens)
    spares = problem.rules.hardware_spares
    return {
        hardware: {fits: with_spares(amount, spares) for fits, amount in sorted(needs[hardware].items())}
        for hardware in Hardware
        if hardware in needs
    }


def packs_for(hardware: Hardware, wanted: Mapping[str, int], packs: Iterable[Pack]) -> list[Pack]:
    """Return the packs that serve at least one of these needs."""
    return [pack for pack in packs if pack.hardware is hardware and pack.fits in ("", *wanted)]


def kit_hardware(hardware: Hardware, kits: Iterable[tuple[Kit, int]]) -> list[Pack]:
    """Return what kits hold of one kind of hardware, as loose pieces on the rack under the kit's name."""
    return [
        Pack(
            name=kit.name,
            hardware=hardware,
            size=1,
            fits=content.fits,
            on_sale=False,
            on_hand=content.amount * count,
        )
        for kit, count in kits
        for content in kit.hardware
        if content.hardware is hardware and count
    ]


def delivered(packs: Iterable[Pack], shut: frozenset[str]) -> list[Pack]:
    """Return the packs with those of suppliers that do not deliver taken off sale."""
    return [replace(pack, on_sale=False) if pack.supplier in shut else pack for pack in packs]


def hardware_purchase(
    problem: Problem,
    screens: Iterable[Screen],
    kits: Sequence[tuple[Kit, int]] = (),
    shut: Mapping[Hardware, frozenset[str]] = MappingProxyType({}),
) -> HardwarePurchase:
    """Return the purchase lines for all hardware, by kind in a fixed order.

    Parameters
    ----------
    problem, screens
        The job.
    kits
        Kits that are open or may be opened for nothing, with their number.
    shut
        Suppliers from whom nothing of a kind is bought.

    Raises
    ------
    ProblemError
        If packs are listed for a kind and do not suffice.
    """
    lines: list[PurchaseLine] = []
    shares: list[KitShare] = []
    for hardware, wanted in hardware_wants(problem, screens).items():
        listed = delivered(packs_for(hardware, wanted, problem.catalogue.packs), shut.get(hardware, frozenset()))
        held = kit_hardware(hardware, kits)
        plain = {fits: amount for fits, amount in wanted.items() if any(p.fits in ("", fits) for p in listed)}
        if plain:
            choice = cheapest_packs(plain, [*listed, *held])
            lines += _listed_lines(hardware, plain, listed, choice, problem)
            shares += _shares(held, choice.loose[len(listed) :])
        rest = [pack.on_hand for pack in held]
        if plain:
            rest = [there - used for there, used in zip(rest, choice.loose[len(listed) :], strict=True)]
        for fits in sorted(wanted.keys() - plain.keys()):
            left = wanted[fits]
            for number, pack in enumerate(held):
                used = min(left, rest[number]) if pack.fits in ("", fits) else 0
                left -= used
                rest[number] -= used
                shares += _shares([pack], [used])
            if left:
                lines.append(_unlisted(hardware, fits, left, problem.unit))
    return HardwarePurchase(lines=tuple(lines), from_kits=tuple(shares))


def _shares(held: Iterable[Pack], used: Iterable[int]) -> Iterator[KitShare]:
    for pack, amount in zip(held, used, strict=True):
        if amount:
            yield KitShare(kit=pack.name, hardware=pack.hardware, fits=pack.fits, used=amount)


def _listed_lines(
    hardware: Hardware,
    wanted: Mapping[str, int],
    packs: Sequence[Pack],
    choice: PackChoice,
    problem: Problem,
) -> Iterator[PurchaseLine]:
    asked = ", ".join(
        f"{amount_text(hardware, amount, problem.unit)} for {fits}"
        if fits
        else amount_text(hardware, amount, problem.unit)
        for fits, amount in wanted.items()
    )
    spares = f", spares of {problem.rules.hardware_spares / 10:g} % included" if problem.rules.hardware_spares else ""
    in_kits = sum(choice.loose[len(packs) :])
    kits = f"; {amount_text(hardware, in_kits, problem.unit)} of it from kits" if in_kits else ""
    for pack, buy, loose, share in zip(packs, choice.buy, choice.loose, choice.used, strict=False):
        if not buy and not loose:
            continue
        size = amount_text(hardware, pack.size, problem.unit)
        rack = f"{amount_text(hardware, loose, problem.unit)} on hand" if loose else ""
        packs_text = f"{buy} x {size} to buy" if buy else ""
        yield PurchaseLine(
            stock=pack.name,
            what=hardware_text(hardware, pack.fits),
            size=pack.size,
            by_length=hardware.by_length,
            need=loose + share,
            on_hand=loose,
            buy=buy,
            price=pack.price,
            cost=None if pack.price is None else Cents(pack.price * buy),
            left=buy * pack.size - share,
            supplier=pack.supplier,
            why=f"needed {asked}{spares}{kits}; {' + '.join(text for text in (rack, packs_text) if text)}",
        )


def _unlisted(hardware: Hardware, fits: str, need: int, unit: Unit) -> PurchaseLine:
    return PurchaseLine(
        stock="",
        what=hardware_text(hardware, fits),
        size=1,
        by_length=hardware.by_length,
        need=need,
        on_hand=0,
        buy=need,
        price=None,
        cost=None,
        left=0,
        supplier="",
        why=f"needed {amount_text(hardware, need, unit)}; no pack of it is listed, so it is bought as needed",
    )


def hardware_text(hardware: Hardware, fits: str) -> str:
    """Return what the office calls this hardware."""
    return f"{hardware.value} {fits}".strip()


def amount_text(hardware: Hardware, amount: int, unit: Unit) -> str:
    """Return a count, or a running length in feet or metres."""
    if not hardware.by_length:
        return f"{amount:,}"
    if unit is Unit.MM:
        return f"{amount / 320_000:,.2f} m"
    feet = amount / 97_536
    return f"{feet:,.1f} ft" if feet >= 1 else f"{length_text(amount, unit)} in"  # type: ignore[arg-type]
