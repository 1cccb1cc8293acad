"""The cheapest packs that cover a need for one kind of hardware."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.catalogue import Pack
from solver.errors import ProblemError, ProblemFault


@dataclass(frozen=True, kw_only=True, slots=True)
class PackChoice:
    """How many of each pack to buy, in step with the packs given, and how much of each serves a need.

    ``loose`` is what is taken from the rack of each pack, ``used`` what is used
    of the packs bought.
    """

    buy: tuple[int, ...]
    loose: tuple[int, ...]
    used: tuple[int, ...]


def cheapest_packs(needs: Mapping[str, int], packs: Sequence[Pack]) -> PackChoice:
    """Return the packs that cover every need at least money.

    Loose stock on hand is free. A pack that fits everything (empty ``fits``)
    may serve any need. Among equal money the least surplus is bought, then the
    fewest packs. Without prices the surplus alone decides. The integer program
    is solved to proven optimality.

    Parameters
    ----------
    needs
        Amount by what it must fit (a profile, a spline, or empty).
    packs
        Packs of this one hardware, priced all or none.

    Raises
    ------
    ProblemError
        If the packs on sale and on hand do not suffice.

    Examples
    --------
    >>> from solver.catalogue import Hardware
    >>> from solver.money import Cents
    >>> sizes = [Pack(name=f"corners {n}", hardware=Hardware.CORNER, size=n, price=Cents(p))
    ...          for n, p in ((4, 300), (25, 1500), (100, 4500))]
    >>> cheapest_packs({"5/16": 480}, sizes).buy
    (0, 0, 5)
    """
    model = cp_model.CpModel()
    most = sum(needs.values())
    bought = []
    for pack in packs:
        count = model.new_int_var(0, _most_bought(pack, most), "")
        if pack.minimum > 1:
            some = model.new_bool_var("")
            model.add(count >= pack.minimum).only_enforce_if(some)
            model.add(count == 0).only_enforce_if(~some)
        bought.append(count)
    supply = [pack.size * bought[i] + min(pack.on_hand, most) for i, pack in enumerate(packs)]
    from_any = []
    for fits, need in needs.items():
        own = [supply[i] for i, pack in enumerate(packs) if pack.fits == fits and fits]
        rest = model.new_int_var(0, need, "")
        model.add(sum(own) + rest >= need)
        from_any.append(rest)
    model.add(sum(supply[i] for i, pack in enumerate(packs) if not pack.fits) >= sum(from_any))
    priced = all(pack.price is not None for pack in packs if pack.on_sale)
    money = sum((pack.price or 0) * bought[i] for i, pack in enumerate(packs)) if priced else 0
    surplus = sum(pack.size * bought[i] for i, pack in enumerate(packs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    for goal in (money, surplus, sum(bought)):
        model.minimize(goal)
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            raise ProblemError((_shortage(needs, packs),))
        if status != cp_model.OPTIMAL:
            raise AssertionError(f"pack cover ended {solver.status_name(status)}")
        model.add(goal <= round(solver.objective_value))
    return _served(needs, packs, tuple(solver.value(variable) for variable in bought))


def _most_bought(pack: Pack, need: int) -> int:
    if not pack.on_sale:
        return 0
    enough = max(-(-need // pack.size), pack.minimum)
    return enough if pack.limit is None else min(enough, pack.limit)


def _served(needs: Mapping[str, int], packs: Sequence[Pack], buy: tuple[int, ...]) -> PackChoice:
    """Hand the packs out: what fits one need only goes first, the rack before what is bought."""
    open_needs = dict(needs)
    loose, used = [0] * len(packs), [0] * len(packs)
    amounts = [pack.size * count for pack, count in zip(packs, buy, strict=True)]
    for specific in (True, False):
        alike = [i for i, pack in enumerate(packs) if bool(pack.fits) is specific]
        for i in alike:
            loose[i] = _take(packs[i], packs[i].on_hand, open_needs)
        for i in alike:
            used[i] = _take(packs[i], amounts[i], open_needs)
    return PackChoice(buy=buy, loose=tuple(loose), used=tuple(used))


def _take(pack: Pack, amount: int, open_needs: dict[str, int]) -> int:
    """Serve open needs from an amount of one pack; return how much of it was used."""
    used = 0
    for fits, need in open_needs.items():
        if not pack.fits or pack.fits == fits:
            served = min(need, amount - used)
            open_needs[fits] -= served
            used += served
    return used


def _shortage(needs: Mapping[str, int], packs: Sequence[Pack]) -> ProblemFault:
    hardware = packs[0].hardware
    there = sum(pack.on_hand + pack.size * (pack.limit or 0) * pack.on_sale for pack in packs)
    wanted = ", ".join(f"{need} for {fits}" if fits else str(need) for fits, need in needs.items())
    return ProblemFault(
        source=packs[0].source,
        message=f"{hardware.value}: {wanted} are needed and at most {there} can be had; "
        "add a pack or raise the number that can be bought",
    )
