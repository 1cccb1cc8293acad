"""Drawing on a page: text, lines, boxes to tick, scan codes. Points, origin at the lower left.

Writes PDF operators (ISO 32000-1, 8.5 and 9.4) straight into the page.
"""

from __future__ import annotations

from enum import Enum
from pathlib import Path

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from service.documents.papers.faces import Face, drawn_runs, drawn_width, fitted_size, text_width
from service.documents.papers.lettering import Lettering
from service.documents.papers.scan_codes import ScanCode


class Align(Enum):
    """Where a text stands to its point."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


SCRAP_GREY = 0.86
"""Fill of what is not a piece; always with an outline, so that meaning never hangs on the shade."""


class Pen:
    """A pen on the pages of one document, which is written by ``save``.

    The file holds no clock time, so that the same pages give the same bytes.
    """

    def __init__(self, path: Path, title: str, size: tuple[float, float]) -> None:
        rl_config.useA85 = 0  # plain compressed streams: smaller and four times as fast to write
        self._canvas = Canvas(str(path), pagesize=size, invariant=1, pageCompression=1)
        self._canvas.setTitle(title)
        self.width = size[0]
        self._letters: dict[Face, Lettering] = {}
        self._drawn: list[str] = []

    def end_page(self) -> None:
        """Finish the page; what is drawn from here on is on the next."""
        self._canvas.addLiteral("\n".join(self._drawn))
        self._canvas.showPage()
        self._drawn = []

    def save(self) -> None:
        """Write the file."""
        self._canvas.save()

    def text(
        self, x: float, y: float, text: str, size: float, *, face: Face = Face.PLAIN, align: Align = Align.LEFT
    ) -> None:
        """Write a text on the base line ``y``."""
        if not text:
            return
        if align is not Align.LEFT:
            wide = text_width(text, face, size)
            x -= wide if align is Align.RIGHT else wide / 2
        if text.isascii():
            self._drawn.append(self._lettering(face).operators(x, y, text, size))
            return
        for run, letters in drawn_runs(text, face):
            self._drawn.append(self._lettering(run).operators(x, y, letters, size))
            x += drawn_width(letters, run) * size

    def _lettering(self, face: Face) -> Lettering:
        if face not in self._letters:
            self._letters[face] = Lettering(self._canvas, face)
        return self._letters[face]

    def fitted(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        width: float,
        *,
        face: Face = Face.PLAIN,
        align: Align = Align.LEFT,
    ) -> None:
        """Write a text no wider than ``width``, smaller if need be."""
        if text:
            self.text(x, y, text, round(fitted_size(text, face, size, width), 2), face=face, align=align)

    def upright_text(self, x: float, y: float, text: str, size: float, *, face: Face = Face.PLAIN) -> None:
        """Write a text turned a quarter to the left, centred on (x, y)."""
        self._drawn.append(f"q 0 1 -1 0 {x:.2f} {y:.2f} cm")
        self.text(0, 0, text, size, face=face, align=Align.CENTRE)
        self._drawn.append("Q")

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float = 0.6) -> None:
        """Draw a black line."""
        self._drawn.append(f"{width:g} w {x1:.2f} {y1:.2f} m {x2:.2f} {y2:.2f} l S")

    def box(
        self, x: float, y: float, width: float, height: float, *, fill: float | None = None, line: float = 0.8
    ) -> None:
        """Draw an outlined box with its lower left corner at (x, y); ``fill`` is a grey from 0 black to 1 white."""
        outline = f"{line:g} w {x:.2f} {y:.2f} {width:.2f} {height:.2f} re"
        self._drawn.append(f"{outline} S" if fill is None else f"{fill:g} g {outline} B 0 g")

    def tick_box(self, x: float, y: float, size: float = 9) -> None:
        """Draw a box to tick."""
        self.box(x, y, size, size, line=1)

    def curve(self, points: list[tuple[float, float]], width: float = 1.1) -> None:
        """Draw a line through points."""
        (x, y), *others = points
        rest = " ".join(f"{x:.2f} {y:.2f} l" for x, y in others)
        self._drawn.append(f"{width:g} w {x:.2f} {y:.2f} m {rest} S")

    def scan_code(self, code: ScanCode, x: float, y: float, side: float) -> None:
        """Draw a scan code without its quiet zone as a square with its lower left corner at (x, y)."""
        module = side / code.side
        self._drawn.append(f"q {module:.4f} 0 0 {module:.4f} {x:.2f} {y:.2f} cm {code.boxes} f Q")
