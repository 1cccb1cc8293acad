"""How sure the plan is, in words and numbers: proven, or at most so many percent above the best possible."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from service.documents.amounts import long_text
from solver.lengths import TICKS_PER_INCH, TICKS_PER_MM, Ticks, Unit
from solver.limits import Ending
from solver.money import Cents, money_text
from solver.plan import Proof

_ENDINGS = {
    Ending.PROVEN: "the proof was found",
    Ending.WORK: "the work limit was reached",
    Ending.SECONDS: "the time limit was reached",
    Ending.EXHAUSTED: "every search step was used up",
    Ending.STOPPED: "the search was stopped by request",
}
_SQUARE_TICKS_PER_M2 = (1_000 * TICKS_PER_MM) ** 2
_SQUARE_TICKS_PER_FT2 = (12 * TICKS_PER_INCH) ** 2


def percent_above(cost: int, bound: int) -> Decimal | None:
    """Return how many percent a cost is above the bound at most, rounded up to two significant digits.

    None when the bound is 0 and the cost is not: then nothing is known.

    Examples
    --------
    >>> percent_above(1001, 1000), percent_above(3, 2), percent_above(7, 7), percent_above(5, 0)
    (Decimal('0.1'), Decimal('50'), Decimal('0'), None)
    """
    if cost <= bound:
        return Decimal(0)
    if bound <= 0:
        return None
    share = Fraction(100 * (cost - bound), bound)
    exact = Decimal(share.numerator) / Decimal(share.denominator)
    step = Decimal(1).scaleb(exact.adjusted() - 1)
    rounded = exact.quantize(step, rounding=ROUND_CEILING)
    if Fraction(rounded) < share:
        rounded += step
    return Decimal(f"{rounded.normalize():f}")


def certainty_words(proof: Proof) -> str:
    """Return how sure a group's plan is, as a sentence a person understands.

    Examples
    --------
    >>> certainty_words(Proof(measure="cents", cost=1002, bound=1000, ending=Ending.SECONDS))
    'at most 0.2 % above the best possible; the time limit was reached'
    """
    shared = f"decided for {joint_words(proof.joint)} as a whole; " if proof.joint else ""
    if proof.proven:
        return f"{shared}proven: nothing {best_words(proof.measure)} exists"
    above = percent_above(proof.cost, proof.bound)
    why = _ENDINGS[proof.ending]
    if above is None:
        return f"{shared}no proof of how close to the best possible; {why}"
    return f"{shared}at most {above} % above the best possible; {why}"


def joint_words(basket: str) -> str:
    """Return what the office calls a basket in the middle of a sentence.

    Examples
    --------
    >>> joint_words("basket"), joint_words("basket 2")
    ('the basket', 'basket 2')
    """
    return "the basket" if basket == "basket" else basket


def ending_words(ending: Ending) -> str:
    """Return why a search stopped, in words."""
    return _ENDINGS[ending]


def best_words(measure: str) -> str:
    """Return the word for a better plan in a measure: cheaper, or with less material."""
    return "cheaper" if measure == "cents" else "with less material"


def measured_number(measure: str, amount: int) -> Decimal:
    """Return an amount as an exact decimal: money units, millimetres of stick, or square metres of mesh.

    Examples
    --------
    >>> measured_number("cents", 1250), measured_number("ticks", 64), measured_number("square ticks", 102_400_000_000)
    (Decimal('12.5'), Decimal('0.2'), Decimal('1'))
    """
    per = {"cents": 100, "ticks": TICKS_PER_MM}.get(measure, _SQUARE_TICKS_PER_M2)
    return Decimal(f"{(Decimal(amount) / per).normalize():f}")


def measured_text(measure: str, amount: int, unit: Unit, currency: str) -> str:
    """Return an amount in a group's measure as the shop reads it.

    Examples
    --------
    >>> measured_text("cents", 1250, Unit.INCH, "USD"), measured_text("ticks", 8128 * 960, Unit.INCH, "")
    ('12.50 USD', '80 ft')
    """
    if measure == "cents":
        return money_text(Cents(amount), currency)
    if measure == "ticks":
        return long_text(Ticks(amount), unit)
    per, name = (_SQUARE_TICKS_PER_FT2, "sq ft") if unit is Unit.INCH else (_SQUARE_TICKS_PER_M2, "m²")
    return f"{Decimal(amount) / per:,.2f} {name}"
