"""Letters of every script the face covers reach the paper and can be read back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from service.documents.papers.faces import Face
from service.documents.papers.pen import Align, Pen

SCRIPTS = "".join(map(chr, [*range(0x100, 0x17F), *range(0x391, 0x3A2), *range(0x400, 0x480), *range(0x1E00, 0x1E60)]))


def test_more_letters_than_one_font_table_holds(tmp_path: Path, text_of: Callable[[Path], list[str]]) -> None:
    pen = Pen(tmp_path / "letters.pdf", "letters", (600, 800))
    lines = [SCRIPTS[at : at + 24] for at in range(0, len(SCRIPTS), 24)]
    for number, line in enumerate(lines):
        pen.text(30, 750 - 20 * number, line, 10, face=Face.BOLD if number % 2 else Face.PLAIN)
    pen.text(300, 50, lines[0][:4] + lines[-1][:4], 10, align=Align.CENTRE)
    pen.end_page()
    pen.save()
    (page,) = text_of(tmp_path / "letters.pdf")
    found = [line.strip() for line in page.splitlines() if line.strip()]
    assert found[: len(lines)] == lines


def test_brackets_and_backslashes_are_only_letters(tmp_path: Path, text_of: Callable[[Path], list[str]]) -> None:
    pen = Pen(tmp_path / "letters.pdf", "letters", (600, 100))
    pen.text(30, 50, r"a) Tj ET (b\) \101 ½ ⅝ € × – ·", 12)
    pen.end_page()
    pen.save()
    assert text_of(tmp_path / "letters.pdf")[0].strip() == r"a) Tj ET (b\) \101 ½ ⅝ € × – ·"
