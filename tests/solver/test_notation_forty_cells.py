"""The cells that arrive in real size columns, each with its verdict: fine, asked about, or refused."""

import pytest

from solver.lengths import Ticks, inches, mm
from solver.notation import Doubt, Doubtful, Refused, Understood, read_length, read_number

TWENTY_SEVEN_FIVE_EIGHTHS = inches(27, 5, 8)


@pytest.mark.parametrize(
    "written",
    [
        "27 5/8", "27-5/8\"", "27⅝", "27 ⅝\"", "27⁵⁄₈", "2' 3 5/8\"", "2′ 3 5⁄8″", "2'-3 5/8\"", "2 ft 3 5/8 in",
        "27\N{NO-BREAK SPACE}5/8", "27 10/16", "27.625", "27 5/8 in.", "27 5/8”", "27 5/8''", " 27  5/8 ",
        "27 and 5/8", "'27 5/8", "27–5/8", "27 5/8 (in)", "701.675 mm", "70.1675 cm", "27\u200b 5/8",
    ],
)  # fmt: skip
def test_every_way_to_write_one_reading_gives_the_same_ticks(written: str) -> None:
    assert read_length(written, unit="in") == Understood(length=TWENTY_SEVEN_FIVE_EIGHTHS)


@pytest.mark.parametrize(
    ("written", "length"),
    [
        ("36''", inches(36)), ("36”", inches(36)), ("3'", inches(36)), ("5' 0\"", inches(60)), ("2.5'", inches(30)),
        ("702 mm", mm(702)), ("70.2 cm", mm(702)), ("0.702 m", mm(702)), ("1,234.5", inches(1234, 1, 2)),
        ("1.234,5", inches(1234, 1, 2)), ("1'234.5 mm", mm("1234.5")),
    ],
)  # fmt: skip
def test_feet_metric_and_grouped_numbers_are_fine_in_an_inch_column(written: str, length: Ticks) -> None:
    assert read_length(written, unit="in") == Understood(length=length)


@pytest.mark.parametrize(
    ("written", "doubt", "proposal"),
    [
        ("27,5", Doubt.COMMA, "27.5"),
        ("27,625", Doubt.COMMA, "27.625"),
        ("70,2 cm", Doubt.COMMA, "70.2 cm"),
        ("27 500 mm", Doubt.COMMA, "27500 mm"),
        ("27 9/8", Doubt.IMPROPER, "28 1/8"),
        ("27 8/8", Doubt.IMPROPER, "28"),
        ("5' 14\"", Doubt.IMPROPER, "74"),
        ("27 4/9", Doubt.TAPE, "27 7/16"),
        ("27 1/3", Doubt.TAPE, "27 5/16"),
        ("27.63", Doubt.TAPE, "27 5/8"),
        ("~30", Doubt.UNSURE, "30"),
        ("30?", Doubt.UNSURE, "30"),
        ("30+", Doubt.UNSURE, "30"),
        ("approx. 27 5/8\"", Doubt.UNSURE, "27 5/8\""),
        ("27 5/8 x 41 1/2", Doubt.TWO_SIZES, "27 5/8"),
        ("27 5/8 (tight)", Doubt.REMARK, "27 5/8"),
        ("27 5/8 strong", Doubt.REMARK, "27 5/8"),
        ("275/8", Doubt.SPACE, "27 5/8"),
        ("27.5/8", Doubt.SPACE, "27 5/8"),
        ("27 - 5/8", Doubt.SPACE, "27 5/8"),
        ("27 5\\8", Doubt.SPACE, "27 5/8"),
        ("27\" 5/8", Doubt.SPACE, "27 5/8"),
        ("27' 5/8", Doubt.SPACE, "27 5/8"),
        ("27 5/8 mm", Doubt.UNIT, "27 5/8 in"),
    ],
)  # fmt: skip
def test_a_doubtful_reading_is_asked_about_with_a_proposal(written: str, doubt: Doubt, proposal: str) -> None:
    result = read_length(written, unit="in")
    assert isinstance(result, Doubtful)
    assert (result.doubt, result.proposal) == (doubt, proposal)


@pytest.mark.parametrize(
    "written",
    [
        "15/16", "27 3/0", "27-", "-27", "10-12", "٢٧ ٥/٨", "２７", "thirty", "TBD", "N/A", "TRUE", "1:30", "50%",
        "$27", "27 5", "27 5/8 5/8", "27 5/128", "27 5/13", "2.7e1", "=27+5/8", "", "#REF!", "27 5/8 x TBD",
        "5' 600 mm", "1.2.3", "9" * 5000, "27 5/8" + " " * 10 + "(" * 5000,
    ],
)  # fmt: skip
def test_what_is_no_tape_reading_is_refused_with_what_to_write(written: str) -> None:
    result = read_length(written, unit="in")
    assert isinstance(result, Refused)
    assert result.message


def test_a_refusal_says_what_is_wrong_and_what_to_write() -> None:
    assert read_length("15/16", unit="in") == Refused(
        message="15/16 is only a fraction of an inch; write the whole inches too, such as 27 15/16"
    )


def test_a_lone_fraction_is_fine_where_small_lengths_stand() -> None:
    assert read_length("15/16", unit="in", alone=True) == Understood(length=inches(0, 15, 16))


def test_the_remark_beside_a_reading_is_kept() -> None:
    result = read_length("27 5/8 (tight)", unit="in")
    assert isinstance(result, Doubtful)
    assert result.note == "tight"


def test_a_tape_fraction_in_a_millimetre_column_is_asked_about() -> None:
    result = read_length("27 5/8", unit="mm")
    assert isinstance(result, Doubtful)
    assert (result.doubt, result.proposal) == (Doubt.UNIT, "27 5/8 in")


def test_a_bare_number_without_any_unit_is_refused_but_a_tape_fraction_is_inches() -> None:
    assert isinstance(read_length("702", unit=""), Refused)
    assert read_length("27 5/8", unit="") == Understood(length=TWENTY_SEVEN_FIVE_EIGHTHS)


def test_inches_made_from_whole_millimetres_propose_the_millimetres() -> None:
    result = read_number(27.6377952755906, unit="in")
    assert isinstance(result, Doubtful)
    assert result.proposal == "702 mm"


def test_a_number_below_zero_is_refused() -> None:
    assert isinstance(read_number(-27, unit="in"), Refused)
