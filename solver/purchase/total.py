"""The purchase list of a whole plan, its total, its proven least total and other ways to buy."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from solver.catalogue import Hardware
from solver.money import Cents
from solver.parts.facades import unnamed
from solver.parts.record import BasketGroup
from solver.plan import Alternative, Kind, KitUse, Notice, PurchaseLine, RollGroup, Screen, StickGroup, StillPossible
from solver.problem import Problem
from solver.purchase.alternatives import alternatives
from solver.purchase.delivery import delivery_lines
from solver.purchase.hardware import hardware_purchase
from solver.purchase.kits import kit_line, kit_uses
from solver.purchase.leftovers import still_possible
from solver.purchase.notices import purchase_notices
from solver.purchase.stock import roll_lines, stick_lines


@dataclass(frozen=True, kw_only=True, slots=True)
class Purchases:
    """The purchase lines, the kits opened, and the totals; totals are None where nothing has a price."""

    lines: tuple[PurchaseLine, ...]
    kits: tuple[KitUse, ...]
    total: Cents | None
    bound: Cents | None
    by_hand: Cents | None
    alternatives: tuple[Alternative, ...]
    still_possible: tuple[StillPossible, ...]
    notices: tuple[Notice, ...]


def purchases(
    problem: Problem,
    screens: Sequence[Screen],
    stick_groups: Sequence[StickGroup],
    roll_groups: Sequence[RollGroup],
    baskets: Sequence[BasketGroup] = (),
) -> Purchases:
    """Return what to buy for a plan.

    The total adds up the lines that have a price; a line without one is named in
    a notice. Packs are proven cheapest, so the bound differs from the total by
    the gaps of the baskets, and of the groups outside them, alone. By hand, the
    same hardware is bought.

    Parameters
    ----------
    problem, screens
        The job.
    stick_groups, roll_groups
        Every group, those of baskets too.
    baskets
        The joint decisions.

    Raises
    ------
    ProblemError
        If hardware packs do not suffice.
    """
    bought = {kit: count for basket in baskets for kit, count in basket.kits}
    kits = {kit.name: kit for kit in problem.catalogue.kits}
    hardware = hardware_purchase(
        problem,
        screens,
        kits=[(kit, kit.on_hand + bought.get(kit.name, 0)) for kit in problem.catalogue.kits],
        shut=_shut(problem, baskets),
    )
    uses = tuple(kit_uses(problem, stick_groups, roll_groups, bought, hardware.from_kits))
    lines = [
        *stick_lines(problem, stick_groups),
        *roll_lines(problem, roll_groups),
        *(kit_line(use, kits[use.kit], bought.get(use.kit, 0), problem.unit) for use in uses),
        *hardware.lines,
    ]
    still = tuple(still_possible(problem, screens, stick_groups, roll_groups, uses, lines))
    lines += list(delivery_lines(problem.catalogue.suppliers, lines))
    notices = (
        *purchase_notices(problem, screens, lines),
        *_unvalued(problem, baskets),
        *_unnamed_facades(problem, screens),
    )
    if not any(line.price is not None for line in lines):
        return Purchases(
            lines=tuple(lines),
            kits=uses,
            total=None,
            bound=None,
            by_hand=None,
            alternatives=(),
            still_possible=still,
            notices=notices,
        )
    total = sum(line.cost for line in lines if line.cost is not None)
    groups: list[StickGroup | RollGroup] = [*stick_groups, *roll_groups]
    alone = [group for group in groups if group.proof.measure == "cents" and not group.proof.joint]
    proofs = [group.proof for group in alone] + [basket.proof for basket in baskets]
    ways = alternatives(problem, Cents(total), alone, baskets)
    return Purchases(
        lines=tuple(lines),
        kits=uses,
        total=Cents(total),
        bound=Cents(total - sum(proof.cost - proof.bound for proof in proofs)),
        by_hand=next(way.cost for way in ways if way.name == "loose stock by hand"),
        alternatives=ways,
        still_possible=still,
        notices=notices,
    )


def _unnamed_facades(problem: Problem, screens: Sequence[Screen]) -> Iterator[Notice]:
    """Yield a notice of the openings that are taken to hang on one facade since they name none."""
    labels = unnamed(problem, screens)
    if labels:
        named = ", ".join(labels[:10]) + (f" and {len(labels) - 10} more" if len(labels) > 10 else "")
        yield Notice(
            kind=Kind.NOTICE,
            topic="facade",
            message=f"without a facade, so those of one building lie the same way: {named}",
        )


def _unvalued(problem: Problem, baskets: Iterable[BasketGroup]) -> Iterator[Notice]:
    """Yield a notice where a rule values leftovers and sticks are bought in one decision with other things."""
    names = [f"{group.profile} {group.colour}".strip() for basket in baskets for group in basket.stick_groups]
    if problem.rules.leftover_value and names:
        yield Notice(
            kind=Kind.NOTICE,
            topic="stock",
            message=(
                f"leftovers cost nothing here, whatever the rule says they are worth: {', '.join(names)}; "
                "kits, deliveries or least numbers make its purchase one decision with others"
            ),
        )


def _shut(problem: Problem, baskets: Iterable[BasketGroup]) -> dict[Hardware, frozenset[str]]:
    """Return from which suppliers nothing is bought, for the hardware of each basket."""
    charging = {supplier.name for supplier in problem.catalogue.suppliers if supplier.delivery}
    return {
        hardware: frozenset(charging.difference(basket.suppliers)) for basket in baskets for hardware in basket.hardware
    }
