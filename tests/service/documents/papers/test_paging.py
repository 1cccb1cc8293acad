"""Blocks fill pages in order, and headings come with them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from service.documents.papers.faces import Face, fitted_size, text_width, wrapped
from service.documents.papers.paging import Block, pages_of


def block(height: float, *heads: Block, new_page: bool = False) -> Block:
    return Block(height, lambda pen, x, y: None, heads, new_page)


@given(st.lists(st.floats(1, 300), max_size=40), st.floats(5, 60))
def test_no_page_holds_more_than_fits_and_nothing_is_lost(heights: list[float], tall_head: float) -> None:
    head = block(tall_head)
    blocks = [block(height, head) for height in heights]
    pages = pages_of(blocks, 200)
    assert [one for page in pages for one in page if one is not head] == blocks
    for page in pages:
        assert sum(one.height for one in page) <= 200 or len(page) == 2
        assert not page or page[0] is head


def test_an_inner_heading_is_drawn_once_where_it_begins() -> None:
    outer, first, second = block(10), block(10), block(10)
    pages = pages_of([block(10, outer, first), block(10, outer, first), block(10, outer, second)], 1000)
    assert pages[0].count(outer) == 1
    assert pages[0].count(first) == pages[0].count(second) == 1


def test_a_block_may_start_a_page() -> None:
    assert [len(page) for page in pages_of([block(1), block(1, new_page=True)], 100)] == [1, 1]


def test_an_empty_paper_has_one_page() -> None:
    assert pages_of([], 100) == [[]]


@given(st.text(max_size=80), st.floats(20, 400))
def test_wrapped_lines_fit_and_keep_every_word(text: str, width: float) -> None:
    lines = wrapped(text, Face.PLAIN, 10, width)
    assert all(text_width(line, Face.PLAIN, 10) <= width or len(line) == 1 for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@given(st.text(min_size=1, max_size=40), st.floats(5, 500))
def test_a_fitted_text_is_no_wider_than_its_room(text: str, width: float) -> None:
    size = fitted_size(text, Face.BOLD, 24, width)
    assert text_width(text, Face.BOLD, size) <= width * 1.000001


def test_a_heading_says_on_the_next_page_that_it_goes_on() -> None:
    drawn: list[str] = []
    head = Block(
        10,
        lambda pen, x, y: drawn.append("order 7"),
        again=lambda pen, x, y: drawn.append("order 7, continued"),
    )
    pages = pages_of([block(80, head), block(80, head)], 100)
    for page in pages:
        page[0].draw(None, 0, 0)  # type: ignore[arg-type]
    assert drawn == ["order 7", "order 7, continued"]


def test_a_heading_that_begins_on_a_new_page_is_no_continuation() -> None:
    drawn: list[str] = []

    def head(words: str) -> Block:
        return Block(10, lambda pen, x, y: drawn.append(words), again=lambda pen, x, y: drawn.append("continued"))

    for page in pages_of([block(80, head("order 7")), block(80, head("order 8"))], 100):
        page[0].draw(None, 0, 0)  # type: ignore[arg-type]
    assert drawn == ["order 7", "order 8"]
