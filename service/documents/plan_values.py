"""Lengths, money and measures as ``plan.json`` writes them; equal values are made once and shared."""

from __future__ import annotations

from typing import Literal

from service.documents import plan_models as models
from service.documents.amounts import amount_text, buy_text
from service.documents.certainty import (
    certainty_words,
    ending_words,
    measured_number,
    measured_text,
    percent_above,
)
from solver.lengths import Ticks, Unit, mm_number, tape_text
from solver.money import Cents
from solver.plan import ByHand, Need, Proof, PurchaseLine

_MEASURES: dict[str, Literal["money", "stick length", "mesh area"]] = {
    "cents": "money",
    "ticks": "stick length",
    "square ticks": "mesh area",
}


def money_string(amount: Cents) -> str:
    """Return money as a decimal string without thousands marks.

    Examples
    --------
    >>> money_string(Cents(123450)), money_string(Cents(-5))
    ('1234.50', '-0.05')
    """
    sign = "-" if amount < 0 else ""
    return f"{sign}{abs(amount) // 100}.{abs(amount) % 100:02d}"


class PlanValues:
    """Makes the small values of one document.

    Lengths repeat a hundred thousand times in a large plan, so each is made once.
    """

    def __init__(self, unit: Unit, currency: str) -> None:
        self._unit = unit
        self._currency = currency
        self._lengths: dict[Ticks, models.Length] = {}

    def length(self, length: Ticks) -> models.Length:
        """Return a length in both units."""
        made = self._lengths.get(length)
        if made is None:
            made = self._lengths[length] = models.Length(mm=float(mm_number(length)), tape=tape_text(length))
        return made

    def amount(self, amount: int, *, by_length: bool, up: bool = True) -> models.Amount:
        """Return a count, or a length where the thing is cut to length."""
        return models.Amount(
            count=None if by_length else amount,
            length=self.length(Ticks(amount)) if by_length else None,
            text=amount_text(amount, self._unit, by_length=by_length, up=up),
        )

    def purchase(self, line: PurchaseLine) -> models.Purchase:
        """Return one line of the purchase list."""
        return models.Purchase(
            stock=line.stock,
            what=line.what,
            buy=line.buy,
            buy_text=buy_text(line, self._unit),
            size=self.amount(line.size, by_length=line.by_length),
            need=self.amount(line.need, by_length=line.by_length),
            on_hand=self.amount(line.on_hand, by_length=line.by_length, up=False),
            left=self.amount(line.left, by_length=line.by_length, up=False),
            price=None if line.price is None else money_string(line.price),
            cost=None if line.cost is None else money_string(line.cost),
            supplier=line.supplier,
            why=line.why,
        )

    def need(self, need: Need) -> models.HardwareNeed:
        """Return what a screen needs of one hardware."""
        return models.HardwareNeed(
            hardware=need.hardware.value,
            fits=need.fits,
            place=need.place,
            amount=self.amount(need.amount, by_length=need.hardware.by_length),
        )

    def measured(self, measure: str, amount: int) -> models.Measured:
        """Return an amount in a group's measure."""
        return models.Measured(
            measure=_MEASURES[measure],
            amount=f"{measured_number(measure, amount):f}",
            text=measured_text(measure, amount, self._unit, self._currency),
        )

    def certainty(self, proof: Proof) -> models.Certainty:
        """Return how sure a group's plan is."""
        above = percent_above(proof.cost, proof.bound)
        return models.Certainty(
            proven=proof.proven,
            above_best_percent=None if above is None else str(above),
            cost=self.measured(proof.measure, proof.cost),
            bound=self.measured(proof.measure, proof.bound),
            ending=ending_words(proof.ending),
            joint=proof.joint,
            words=certainty_words(proof),
        )

    def by_hand(self, by_hand: ByHand, measure: str) -> models.ByHandPlan:
        """Return what a careful shop would do, in the group's measure."""
        cost = None if by_hand.cost is None else self.measured(measure, by_hand.cost)
        return models.ByHandPlan(words=by_hand.words, cost=cost)
