"""How papers are printed: paper size, label grid, what stands on every page beside the plan."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import Enum

from service.errors import PaperError
from solver.lengths import Unit

POINTS_PER_INCH = 72.0
POINTS_PER_MM = 72.0 / 25.4


class Paper(Enum):
    """A paper size, width x height upright, in points.

    References
    ----------
    ISO 216 for A4 (210 x 297 mm); ANSI/ASME Y14.1 for letter (8 1/2 x 11 in).
    """

    LETTER = (612.0, 792.0)
    A4 = (210 * POINTS_PER_MM, 297 * POINTS_PER_MM)

    @property
    def upright(self) -> tuple[float, float]:
        """Width and height with the short side across."""
        return self.value

    @property
    def landscape(self) -> tuple[float, float]:
        """Width and height with the long side across."""
        return self.value[1], self.value[0]


@dataclass(frozen=True, kw_only=True, slots=True)
class LabelStock:
    """A page of equal labels, or a roll of single ones (one row, one column, no margin). Millimetres."""

    page_width_mm: float
    page_height_mm: float
    columns: int = 1
    rows: int = 1
    left_mm: float = 0.0
    top_mm: float = 0.0
    gap_across_mm: float = 0.0
    gap_down_mm: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a grid without labels of a size to write on."""
        if self.columns < 1 or self.rows < 1:
            raise PaperError("a label page needs at least one row and one column")
        if self.label_width_mm < 25 or self.label_height_mm < 12:
            raise PaperError(
                f"labels of {self.label_width_mm:.1f} x {self.label_height_mm:.1f} mm are too small; "
                "take at least 25 x 12 mm, or fewer rows, columns, margins"
            )

    @property
    def label_width_mm(self) -> float:
        """Width of one label; the margins right and left are equal."""
        gaps = (self.columns - 1) * self.gap_across_mm
        return (self.page_width_mm - 2 * self.left_mm - gaps) / self.columns

    @property
    def label_height_mm(self) -> float:
        """Height of one label; the margins above and below are equal."""
        return (self.page_height_mm - 2 * self.top_mm - (self.rows - 1) * self.gap_down_mm) / self.rows


LETTER_LABELS = LabelStock(
    page_width_mm=215.9,
    page_height_mm=279.4,
    columns=3,
    rows=10,
    left_mm=4.8,
    top_mm=12.7,
    gap_across_mm=3.2,
)
A4_LABELS = LabelStock(page_width_mm=210, page_height_mm=297, columns=3, rows=8, left_mm=0, top_mm=4.5)
ROLL_LABEL = LabelStock(page_width_mm=62, page_height_mm=29)


@dataclass(frozen=True, kw_only=True, slots=True)
class PaperSetup:
    """What papers need beside problem and plan.

    ``handed_in`` is the day the job was handed in (papers read no clock);
    ``revision`` and ``job_code`` name the job on papers and in scan codes, where
    ``job_code`` keeps to capital letters, digits and ``-``.
    """

    paper: Paper = Paper.LETTER
    labels: LabelStock = field(default=LETTER_LABELS)
    handed_in: date | None = None
    revision: str = ""
    job_code: str = ""

    def __post_init__(self) -> None:
        """Refuse a job code that a scan code would not carry."""
        if len(self.job_code) > 12 or not all(
            c.isascii() and (c.isupper() or c.isdigit() or c == "-") for c in self.job_code
        ):
            raise PaperError(f"job code {self.job_code!r}: write at most 12 capital letters, digits or -")

    @classmethod
    def usual(cls, unit: Unit, handed_in: date | None = None, job_code: str = "") -> PaperSetup:
        """Return the setup for a shop that gave none: letter for inches, A4 for millimetres."""
        paper, labels = (Paper.LETTER, LETTER_LABELS) if unit is Unit.INCH else (Paper.A4, A4_LABELS)
        return cls(paper=paper, labels=labels, handed_in=handed_in, job_code=job_code)
