"""Names are printed in the order and the letters they are read in, whatever script they are written in."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.documents.papers.faces import Face, drawn_runs, font, text_width
from service.documents.papers.pen import Pen
from service.documents.papers.reading_order import as_drawn, kept_apart

ALEF, BET, GIMEL = "\u05d0", "\u05d1", "\u05d2"
LAM, BA, ARABIC_ALEF, DAL = "\u0644", "\u0628", "\u0627", "\u062f"


def test_a_name_in_latin_letters_is_drawn_as_it_stands() -> None:
    assert as_drawn("B2-104 Küche (links)") == "B2-104 Küche (links)"


def test_a_hebrew_name_is_drawn_from_its_end() -> None:
    assert as_drawn(ALEF + BET + GIMEL) == GIMEL + BET + ALEF


def test_what_stands_round_a_hebrew_name_stays_where_it_is() -> None:
    assert as_drawn(f"1) {ALEF}{BET} left") == f"1) {BET}{ALEF} left"


def test_a_number_within_a_hebrew_name_keeps_its_own_order() -> None:
    assert as_drawn(f"{ALEF} 12 {BET}") == f"{BET} 12 {ALEF}"


def test_brackets_within_a_hebrew_name_are_turned() -> None:
    assert as_drawn(f"{ALEF}({BET}){GIMEL}") == f"{GIMEL}({BET}){ALEF}"


def test_arabic_letters_are_joined() -> None:
    first, middle, last = "\ufe91", "\ufe92", "\ufe90"
    assert as_drawn(BA * 3) == last + middle + first


def test_a_letter_that_joins_only_backwards_breaks_the_word() -> None:
    isolated_ba, isolated_dal = "\ufe8f", "\ufea9"
    assert as_drawn(DAL + BA) == isolated_ba + isolated_dal


def test_lam_and_alef_become_one_letter() -> None:
    assert as_drawn(LAM + ARABIC_ALEF) == "\ufefb"


def test_an_accent_on_its_own_joins_its_letter() -> None:
    assert as_drawn(unicodedata.normalize("NFD", "Großmüller")) == "Großmüller"


_LETTERS = st.text(st.sampled_from("ab1 2()-/%" + ALEF + BET + BA + DAL + LAM), max_size=12)


@given(_LETTERS)
def test_no_letter_is_lost_or_made_up(text: str) -> None:
    drawn = unicodedata.normalize("NFKC", as_drawn(text))
    assert sorted(drawn.replace("(", ")")) == sorted(text.replace("(", ")"))


@given(_LETTERS)
def test_the_order_read_aloud_does_not_change_how_wide_a_text_is(text: str) -> None:
    wide = sum(text_width(letters, run, 10) for run, letters in drawn_runs(text, Face.PLAIN))
    assert text_width(text, Face.PLAIN, 10) == pytest.approx(wide)


def test_a_number_behind_a_name_can_be_kept_apart_from_it() -> None:
    assert as_drawn(f"{kept_apart(BA)}: 3 screens") == "\ufe8f: 3 screens"
    assert as_drawn(f"{BA}: 3 screens") != "\ufe8f: 3 screens"


@pytest.mark.parametrize("letter", ["窓", "の", "창", "台"])
def test_what_the_face_lacks_of_eastern_scripts_is_in_another(letter: str) -> None:
    ((face, _),) = drawn_runs(letter, Face.BOLD)
    assert face is Face.EAST
    assert ord(letter) in font(face).face.charToGlyph


def test_names_of_every_script_come_out_of_the_page_again(tmp_path: Path, text_of: Callable[[Path], list[str]]) -> None:
    names = ["Łódź 7", "北側三階の窓", "창문 삼", f"{ALEF}{BET}{GIMEL} 12"]
    pen = Pen(tmp_path / "names.pdf", "names", (300, 300))
    for at, name in enumerate(names):
        pen.text(20, 260 - 40 * at, name, 14)
    pen.end_page()
    pen.save()
    (page,) = text_of(tmp_path / "names.pdf")
    *others, hebrew = (line.strip() for line in page.splitlines() if line.strip())
    assert others == names[:3]
    assert ALEF + BET + GIMEL in hebrew
