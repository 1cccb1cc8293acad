"""Laws of written lengths: every notation of one reading gives the same ticks, and no text breaks the reader."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.lengths import Ticks, length_text, mm_number, mm_text, tape_text
from solver.lengths import Unit as ShopUnit
from solver.notation import Comma, Doubtful, Refused, Understood, read_length, read_number

sixty_fourths = st.integers(min_value=64, max_value=64 * 300)


def _fraction(count: int, mark: str = " ") -> str:
    whole, part = divmod(count, 64)
    fraction = Fraction(part, 64)
    return f"{whole}{mark}{fraction.numerator}/{fraction.denominator}" if part else str(whole)


@given(count=sixty_fourths)
def test_a_tape_reading_reads_the_same_in_every_notation(count: int) -> None:
    length = Ticks(127 * count)
    feet, below = divmod(count, 64 * 12)
    decimal = Decimal(count) / 64
    for written in (
        tape_text(length),
        _fraction(count) + '"',
        _fraction(count, "-") + " in",
        f"{_fraction(count)} inches",
        f"{feet}' {_fraction(below)}\"",
        f"{feet} ft {_fraction(below)} in",
        f"{decimal:f}",
        f"{mm_text(length)} mm",
        f"{mm_number(length) / 10:f} cm",
        f"{mm_number(length) / 1000:f} m",
    ):
        assert read_length(written, unit="in") == Understood(length=length), written
    assert read_number(count / 64, unit="in") == Understood(length=length)


@given(tenths=st.integers(min_value=1, max_value=100_000))
def test_tenths_of_a_millimetre_are_exact_in_every_metric_unit(tenths: int) -> None:
    length = Ticks(32 * tenths)
    number = Decimal(tenths) / 10
    assert read_length(f"{number}", unit="mm") == Understood(length=length)
    assert read_length(f"{number / 10:f} cm", unit="mm") == Understood(length=length)
    assert read_length(str(number).replace(".", ","), unit="mm", comma=Comma.DECIMAL) == Understood(length=length)
    assert read_number(float(number), unit="mm") == Understood(length=length)


@given(length=st.integers(min_value=1, max_value=320 * 6000), unit=st.sampled_from(ShopUnit))
def test_what_the_plan_writes_exactly_reads_back(length: int, unit: ShopUnit) -> None:
    written = length_text(Ticks(length), unit)
    result = read_length(written, unit=unit.value, alone=True)
    assert isinstance(result, Doubtful) if written.startswith("~") else result == Understood(length=Ticks(length))


@given(text=st.text(max_size=80), unit=st.sampled_from(["in", "mm", "cm", "m", "ft", ""]))
def test_any_text_gets_one_of_the_three_verdicts(text: str, unit: str) -> None:
    result = read_length(text, unit=unit)
    assert isinstance(result, Understood | Doubtful | Refused)
    if isinstance(result, Refused | Doubtful):
        assert result.message


@given(text=st.text(alphabet="0123456789 ./'\"-,x~?()mcinft⅝½", max_size=14))
def test_a_proposal_is_beyond_doubt_or_at_least_nearer_to_it(text: str) -> None:
    """Accepting proposals one after another comes to an end."""
    for _ in range(4):
        result = read_length(text, unit="in")
        if not isinstance(result, Doubtful):
            return
        assert result.proposal != text
        text = result.proposal
    pytest.fail(f"still asking about {text}")


@given(whole=st.integers(min_value=0, max_value=10**60))
def test_whole_millimetres_are_written_as_they_are_however_many(whole: int) -> None:
    assert mm_text(Ticks(320 * whole)) == str(whole)
