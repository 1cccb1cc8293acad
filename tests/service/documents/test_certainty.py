"""How sure a plan is, said without promising too much."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.documents.certainty import certainty_words, measured_text, percent_above
from solver.lengths import Unit, inches, mm
from solver.limits import Ending
from solver.plan import Proof


@given(st.integers(1, 10**12), st.integers(0, 10**12))
def test_the_percentage_said_is_never_too_small(bound: int, more: int) -> None:
    said = percent_above(bound + more, bound)
    assert said is not None
    assert Fraction(said) >= Fraction(100 * more, bound)


@given(st.integers(1, 10**12), st.integers(1, 10**12))
def test_the_percentage_said_is_at_most_a_tenth_too_large(bound: int, more: int) -> None:
    said = percent_above(bound + more, bound)
    assert said is not None
    assert Fraction(said) <= Fraction(100 * more, bound) * Fraction(11, 10)


def test_a_tiny_gap_is_not_said_to_be_none() -> None:
    assert percent_above(10**9 + 1, 10**9) == Decimal("0.0000001")


def test_a_bound_of_nothing_proves_nothing() -> None:
    proof = Proof(measure="cents", cost=5, bound=0, ending=Ending.STOPPED)
    assert certainty_words(proof) == ("no proof of how close to the best possible; the search was stopped by request")


@pytest.mark.parametrize(
    ("measure", "amount", "unit", "words"),
    [
        ("cents", 123456, Unit.INCH, "1,234.56 USD"),
        ("ticks", inches(240), Unit.INCH, "20 ft"),
        ("ticks", mm(12_345), Unit.MM, "12.35 m"),
        ("square ticks", inches(12) * inches(12), Unit.INCH, "1.00 sq ft"),
        ("square ticks", mm(1000) * mm(1500), Unit.MM, "1.50 m²"),
    ],
)
def test_each_measure_is_said_in_the_shops_words(measure: str, amount: int, unit: Unit, words: str) -> None:
    assert measured_text(measure, amount, unit, "USD") == words
