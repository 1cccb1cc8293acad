"""The difference between two revisions, as text and as JSON."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from service.documents.amounts import amount_text, buy_text, exact_length, purchase_text
from service.documents.pieces import piece_label
from solver.lengths import Ticks, Unit, mm_number
from solver.money import Cents, money_text
from solver.revision.chain_money import chain_purchases
from solver.revision.record import Difference, Reprint, Revision

_MOST_LINES = 40


def difference_lines(revision: Revision) -> Iterator[str]:
    """Yield what changed, line by line: cut now, buy more, spare, labels."""
    difference, unit = _difference(revision), revision.problem.unit
    yield f"Revision {revision.number}: {difference.changes} cuts new or changed, {difference.kept} kept as planned"
    yield from _cut_lines(difference)
    if difference.money is not None:
        more = f"Buy more for {money_text(difference.money, revision.plan.currency)}"
        anew = difference.money_anew
        if anew is not None and anew < difference.money:
            more += f" ({money_text(anew, revision.plan.currency)} if everything uncut were planned anew)"
        yield more
    for line in difference.buy:
        yield f"  {purchase_text(line, unit)}"
    if not difference.buy:
        yield "Nothing more to buy"
    yield from _money_lines(revision)
    yield from _spare_lines(difference, unit)
    if difference.reprints:
        yield f"Labels to print again: {len(difference.reprints)}"
        for reprint in difference.reprints[:_MOST_LINES]:
            was = f", was {reprint.was}" if reprint.was else ""
            yield f"  {_piece(revision, reprint)}: {reprint.why}{was}"
        if len(difference.reprints) > _MOST_LINES:
            yield f"  and {len(difference.reprints) - _MOST_LINES} more, in difference.json"


def _money_lines(revision: Revision) -> Iterator[str]:
    """Yield what the whole chain has cost so far, plan by plan."""
    if revision.plan.total is None:
        return
    purchases, currency = chain_purchases(revision), revision.plan.currency
    if purchases is None:
        yield "What the plans before have cost is not known: their file is from an older version"
        return
    yield f"Bought so far, this list included: {money_text(Cents(sum(each.paid for each in purchases)), currency)}"
    for each in purchases:
        name = f"revision {each.revision}" if each.revision else "first plan"
        off = f", less {money_text(each.off, currency)} that did not come" if each.off else ""
        yield f"  {name}: {money_text(each.listed, currency)}{off}"


def _difference(revision: Revision) -> Difference:
    assert revision.difference is not None  # noqa: S101 - only a first plan has none
    return revision.difference


def _cut_lines(difference: Difference) -> Iterator[str]:
    fresh: dict[str, list[int]] = defaultdict(list)
    renumbered: dict[str, list[str]] = defaultdict(list)
    same: dict[str, int] = defaultdict(int)
    for change in difference.to_cut:
        if change.was is None:
            fresh[change.group].append(change.number)
        elif change.was != change.number:
            renumbered[change.group].append(f"{change.was} is now {change.number}")
        else:
            same[change.group] += 1
    for group, numbers in fresh.items():
        yield f"  {group}: new or changed no. {', '.join(str(number) for number in numbers[:_MOST_LINES])}"
    for group, words in renumbered.items():
        yield f"  {group}: renumbered, {', '.join(words[:_MOST_LINES])}"
    for group, count in same.items():
        yield f"  {group}: {count} as before"
    dropped: dict[str, list[int]] = defaultdict(list)
    for group, number in difference.dropped:
        dropped[group].append(number)
    for group, numbers in dropped.items():
        yield f"  {group}: cut no more as printed no. {', '.join(str(number) for number in numbers[:_MOST_LINES])}"
    if not difference.to_cut:
        yield "Nothing is left to cut"


def _spare_lines(difference: Difference, unit: Unit) -> Iterator[str]:
    if difference.spare_sticks or difference.spare_mesh or difference.spare_hardware:
        yield "Spare now:"
    for stick in difference.spare_sticks:
        yield f"  {stick.count} x {stick.profile} {stick.colour} {exact_length(stick.length, unit)}"
    for mesh in difference.spare_mesh:
        yield f"  {mesh.count} x {mesh.mesh} {exact_length(mesh.width, unit)} x {exact_length(mesh.length, unit)}"
    for hardware in difference.spare_hardware:
        amount = amount_text(hardware.amount, unit, by_length=hardware.by_length, up=False)
        yield f"  {amount} {hardware.stock}"


def _piece(revision: Revision, reprint: Reprint) -> str:
    quantity = next((s.quantity for s in revision.plan.screens if s.opening == reprint.opening), 1)
    return piece_label(reprint.opening, reprint.copy, quantity, reprint.place)


def difference_json(revision: Revision) -> dict[str, Any]:
    """Return the difference as plain JSON; lengths in exact millimetres, money in minor units."""
    difference = _difference(revision)
    return {
        "revision": revision.number,
        "unit": revision.problem.unit.value,
        "currency": revision.problem.currency,
        "changes": difference.changes,
        "kept": difference.kept,
        "reused": difference.reused,
        "pinned_rails": len(revision.problem.pinned_rails),
        "pinned_blanks": len(revision.problem.pinned_blanks),
        "money_cents": difference.money,
        "money_cents_if_all_else_changed": difference.money_anew,
        "bought_so_far": _bought_so_far(revision),
        "to_cut": [{"group": change.group, "number": change.number, "was": change.was} for change in difference.to_cut],
        "dropped": [{"group": group, "number": number} for group, number in difference.dropped],
        "buy": [
            {
                "stock": line.stock or line.what,
                "buy": line.buy,
                "buy_text": buy_text(line, revision.problem.unit),
                "cost_cents": line.cost,
                "supplier": line.supplier,
            }
            for line in difference.buy
        ],
        "spare_sticks": [
            {
                "stock": stick.stock,
                "profile": stick.profile,
                "colour": stick.colour,
                "length_mm": float(mm_number(stick.length)),
                "count": stick.count,
            }
            for stick in difference.spare_sticks
        ],
        "spare_mesh": [
            {
                "stock": mesh.stock,
                "mesh": mesh.mesh,
                "width_mm": float(mm_number(mesh.width)),
                "length_mm": float(mm_number(mesh.length)),
                "count": mesh.count,
            }
            for mesh in difference.spare_mesh
        ],
        "spare_hardware": [
            {
                "stock": hardware.stock,
                "amount": float(mm_number(Ticks(hardware.amount))) if hardware.by_length else hardware.amount,
                "in_mm": hardware.by_length,
            }
            for hardware in difference.spare_hardware
        ],
        "reprints": [
            {
                "opening": reprint.opening,
                "copy": reprint.copy,
                "place": reprint.place.value if reprint.place is not None else "mesh",
                "why": reprint.why,
                "was": reprint.was,
            }
            for reprint in difference.reprints
        ],
    }


def _bought_so_far(revision: Revision) -> dict[str, Any] | None:
    """Return what the whole chain has cost, plan by plan; None without prices, or where that is not known."""
    purchases = None if revision.plan.total is None else chain_purchases(revision)
    if purchases is None:
        return None
    plans = [{"revision": p.revision, "listed_cents": p.listed, "not_come_cents": p.off} for p in purchases]
    return {"plans": plans, "paid_cents": sum(each.paid for each in purchases)}
