"""Blocks on pages: what does not fit goes to the next page, headings are repeated there, pages are counted."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from service.documents.amounts import unit_length
from service.documents.papers.faces import Face
from service.documents.papers.pen import Align, Pen
from service.documents.papers.setup import PaperSetup
from service.documents.plain_text import one_line
from solver.lengths import Unit
from solver.problem import Problem

MARGIN = 30.0
_HEAD, _FOOT = 24.0, 18.0
_UNITS = {
    Unit.INCH: "lengths in inches (~ to the nearest 64th)",
    Unit.MM: "lengths in millimetres (~ to the nearest tenth)",
}


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Something of a height that stays together.

    ``draw`` gets the pen and the upper left corner. ``heads`` stand above it,
    outermost first: drawn where they begin, and again on every further page.
    ``again`` draws a head on further pages where it has to say that it goes on.
    ``new_page`` starts a page.
    """

    height: float
    draw: Callable[[Pen, float, float], None]
    heads: tuple[Block, ...] = ()
    new_page: bool = False
    again: Callable[[Pen, float, float], None] | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Frame:
    """The page around the blocks: its size, and the words at its head and foot."""

    size: tuple[float, float]
    job: str
    title: str
    foot: str

    @property
    def width(self) -> float:
        """Width for blocks."""
        return self.size[0] - 2 * MARGIN

    @property
    def height(self) -> float:
        """Height for blocks."""
        return self.size[1] - 2 * MARGIN - _HEAD - _FOOT

    @property
    def top(self) -> float:
        """Where the first block begins."""
        return self.size[1] - MARGIN - _HEAD

    def draw(self, pen: Pen, number: int, count: int) -> None:
        """Draw the head and the foot of one page."""
        width, height = self.size
        third = (width - 2 * MARGIN) / 3
        base = height - MARGIN - 10
        pen.fitted(MARGIN, base, self.job, 12, third * 1.4, face=Face.BOLD)
        pen.text(width / 2 + third * 0.2, base, self.title, 12, align=Align.CENTRE)
        pen.text(width - MARGIN, base, f"page {number} of {count}", 12, face=Face.BOLD, align=Align.RIGHT)
        pen.line(MARGIN, base - 6, width - MARGIN, base - 6, 1)
        pen.text(MARGIN, MARGIN, self.foot, 9)


def job_frame(problem: Problem, setup: PaperSetup, title: str, size: tuple[float, float]) -> Frame:
    """Return the frame that says job, date, unit and kerf on every page."""
    words = [f"handed in {setup.handed_in.isoformat()}"] if setup.handed_in else []
    words += [f"revision {setup.revision}"] if setup.revision else []
    words += [_UNITS[problem.unit], f"saw cut {unit_length(problem.rules.kerf, problem.unit)}"]
    return Frame(size=size, job=one_line(problem.name), title=title, foot="  ·  ".join(words))


def pages_of(blocks: Iterable[Block], room: float) -> list[list[Block]]:
    """Return blocks and their heads, page by page; a page always takes at least one block.

    Examples
    --------
    >>> def block(height, *heads):
    ...     return Block(height, lambda pen, x, y: None, heads)
    >>> head = block(10)
    >>> [len(page) for page in pages_of([block(40, head), block(40, head), block(40, head)], 100)]
    [3, 2]
    """
    pages: list[list[Block]] = []
    used = 0.0
    last: tuple[Block, ...] = ()
    for block in blocks:
        heads = _fresh_heads(block.heads, last)
        need = block.height + sum(head.height for head in heads)
        if not pages or block.new_page or used + need > room:
            pages.append([])
            used, heads = 0.0, _heads_again(block.heads, last)
            need = block.height + sum(head.height for head in heads)
        pages[-1] += (*heads, block)
        used += need
        last = block.heads
    return pages or [[]]


def write_pages(path: Path, frame: Frame, blocks: Iterable[Block]) -> None:
    """Write blocks as a PDF; same blocks, same bytes."""
    pages = pages_of(blocks, frame.height)
    pen = Pen(path, f"{frame.job}: {frame.title}", frame.size)
    for number, page in enumerate(pages, start=1):
        frame.draw(pen, number, len(pages))
        y = frame.top
        for block in page:
            block.draw(pen, MARGIN, y)
            y -= block.height
        pen.end_page()
    pen.save()


def heading(text: str, size: float = 15, *, above: float = 8) -> Block:
    """Return a heading line as a block; on further pages it says that it is continued."""

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.fitted(x, top - above - size, text, size, pen.width - 2 * MARGIN, face=Face.BOLD)

    def again(pen: Pen, x: float, top: float) -> None:
        pen.fitted(x, top - above - size, f"{text}, continued", size, pen.width - 2 * MARGIN, face=Face.BOLD)

    return Block(above + size * 1.4, draw, again=again)


def text_lines(lines: Sequence[str], size: float = 10, *, above: float = 2) -> Block:
    """Return lines of text as a block."""

    def draw(pen: Pen, x: float, top: float) -> None:
        for number, line in enumerate(lines):
            pen.text(x, top - above - size * (1 + 1.3 * number), line, size)

    return Block(above + size * (1.3 * len(lines) + 0.2), draw)


def _fresh_heads(heads: tuple[Block, ...], last: tuple[Block, ...]) -> tuple[Block, ...]:
    return heads[_shared(heads, last) :]


def _heads_again(heads: tuple[Block, ...], last: tuple[Block, ...]) -> tuple[Block, ...]:
    """Return heads for the top of a page; those that stood above the last block too say that they go on."""
    shared = _shared(heads, last)
    again = (replace(head, draw=head.again) if head.again else head for head in heads[:shared])
    return (*again, *heads[shared:])


def _shared(heads: tuple[Block, ...], last: tuple[Block, ...]) -> int:
    shared = 0
    for one, other in zip(heads, last, strict=False):
        if one is not other:
            break
        shared += 1
    return shared
