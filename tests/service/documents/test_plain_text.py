"""Whatever the office typed, it stays text."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from service.documents.plain_text import LONGEST_CELL, csv_plain, one_line, plain


@given(st.text())
def test_no_text_starts_a_formula_in_csv(text: str) -> None:
    assert csv_plain(text).lstrip(" \u00a0")[:1] not in set("=+-@\t\r\n")


def test_a_full_width_sign_is_a_sign() -> None:
    assert csv_plain("＝1+1") == "'＝1+1"


@given(st.text())
def test_an_ordinary_word_is_left_alone(text: str) -> None:
    assert csv_plain(f"B{text}") == plain(f"B{text}")


def test_a_text_is_cut_to_what_a_cell_holds() -> None:
    assert len(plain("x" * 40_000)) == LONGEST_CELL


def test_a_label_is_one_line() -> None:
    assert one_line(" B2\t101\r\nLR ") == "B2 101 LR"
