"""Purchase lines for hardware: needs added up over all screens, covered by packs."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator

from solver.catalogue import Hardware, Pack
from solver.lengths import Unit, length_text
from solver.money import Cents
from solver.plan import PurchaseLine, Screen
from solver.problem import Problem
from solver.purchase.packs import cheapest_packs


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


def hardware_lines(problem: Problem, screens: Iterable[Screen]) -> Iterator[PurchaseLine]:
    """Yield the purchase lines for all hardware, by kind in a fixed order.

    Raises
    ------
    ProblemError
        If packs are listed for a kind and do not suffice.
    """
    needs = hardware_needs(screens)
    for hardware in Hardware:
        if hardware not in needs:
            continue
        wanted = {
            fits: with_spares(amount, problem.rules.hardware_spares) for fits, amount in sorted(needs[hardware].items())
        }
        listed = [p for p in problem.catalogue.packs if p.hardware is hardware and (not p.fits or p.fits in wanted)]
        unlisted = {fits for fits in wanted if not any(not p.fits or p.fits == fits for p in listed)}
        for fits in sorted(unlisted):
            yield _unlisted(hardware, fits, wanted.pop(fits), problem.unit)
        if wanted:
            yield from _listed(hardware, wanted, listed, problem)


def _listed(hardware: Hardware, wanted: dict[str, int], packs: list[Pack], problem: Problem) -> Iterator[PurchaseLine]:
    choice = cheapest_packs(wanted, packs)
    asked = ", ".join(
        f"{_amount(hardware, amount, problem.unit)} for {fits}" if fits else _amount(hardware, amount, problem.unit)
        for fits, amount in wanted.items()
    )
    spares = f", spares of {problem.rules.hardware_spares / 10:g} % included" if problem.rules.hardware_spares else ""
    open_needs = _open_needs(wanted, packs, choice.loose)
    for pack, buy, loose in zip(packs, choice.buy, choice.loose, strict=True):
        if not buy and not loose:
            continue
        share = _share(pack, buy * pack.size, open_needs)
        size = _amount(hardware, pack.size, problem.unit)
        rack = f"{_amount(hardware, loose, problem.unit)} on hand" if loose else ""
        packs_text = f"{buy} x {size} to buy" if buy else ""
        yield PurchaseLine(
            stock=pack.name,
            what=_what(hardware, pack.fits),
            size=pack.size,
            by_length=hardware.by_length,
            need=loose + share,
            on_hand=loose,
            buy=buy,
            price=pack.price,
            cost=None if pack.price is None else Cents(pack.price * buy),
            left=buy * pack.size - share,
            supplier=pack.supplier,
            why=f"needed {asked}{spares}; {' + '.join(text for text in (rack, packs_text) if text)}",
        )


def _open_needs(wanted: dict[str, int], packs: list[Pack], loose: tuple[int, ...]) -> dict[str, int]:
    """Return what each need still lacks after loose stock, specific stock first."""
    open_needs = dict(wanted)
    for pack, amount in sorted(zip(packs, loose, strict=True), key=lambda pair: not pair[0].fits):
        _share(pack, amount, open_needs)
    return open_needs


def _share(pack: Pack, amount: int, open_needs: dict[str, int]) -> int:
    """Serve open needs from an amount of one pack; return how much of it was used."""
    used = 0
    for fits in open_needs:
        if not pack.fits or pack.fits == fits:
            served = min(open_needs[fits], amount - used)
            open_needs[fits] -= served
            used += served
    return used


def _unlisted(hardware: Hardware, fits: str, need: int, unit: Unit) -> PurchaseLine:
    return PurchaseLine(
        stock="",
        what=_what(hardware, fits),
        size=1,
        by_length=hardware.by_length,
        need=need,
        on_hand=0,
        buy=need,
        price=None,
        cost=None,
        left=0,
        supplier="",
        why=f"needed {_amount(hardware, need, unit)}; no pack of it is listed, so it is bought as needed",
    )


def _what(hardware: Hardware, fits: str) -> str:
    return f"{hardware.value} {fits}".strip()


def _amount(hardware: Hardware, amount: int, unit: Unit) -> str:
    """Return a count, or a running length in feet or metres."""
    if not hardware.by_length:
        return f"{amount:,}"
    if unit is Unit.MM:
        return f"{amount / 320_000:,.2f} m"
    feet = amount / 97_536
    return f"{feet:,.1f} ft" if feet >= 1 else f"{length_text(amount, unit)} in"  # type: ignore[arg-type]
