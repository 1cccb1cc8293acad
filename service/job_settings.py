"""What a caller may say about a job beside its spreadsheet: the same words over HTTP and on the command line."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator


class LabelGrid(BaseModel):
    """A page of equal labels, or a roll of single ones: one row, one column, no margin. Millimetres."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    page_width_mm: float = Field(gt=0, le=1_000)
    page_height_mm: float = Field(gt=0, le=1_000)
    columns: int = Field(default=1, ge=1, le=20)
    rows: int = Field(default=1, ge=1, le=100)
    left_mm: float = Field(default=0, ge=0, le=200)
    top_mm: float = Field(default=0, ge=0, le=200)
    gap_across_mm: float = Field(default=0, ge=0, le=100)
    gap_down_mm: float = Field(default=0, ge=0, le=100)

    @model_validator(mode="after")
    def _big_enough(self) -> LabelGrid:
        width = (self.page_width_mm - 2 * self.left_mm - (self.columns - 1) * self.gap_across_mm) / self.columns
        height = (self.page_height_mm - 2 * self.top_mm - (self.rows - 1) * self.gap_down_mm) / self.rows
        if width < LEAST_LABEL_MM[0] or height < LEAST_LABEL_MM[1]:
            raise ValueError(
                f"labels of {width:.1f} x {height:.1f} mm are too small; take at least "
                f"{LEAST_LABEL_MM[0]} x {LEAST_LABEL_MM[1]} mm, or fewer rows, columns, margins"
            )
        return self


LEAST_LABEL_MM = (25, 12)
"""Width and height of the smallest label that still holds a scan code and a name."""


class JobSettings(BaseModel):
    """Settings of one job; everything has a default, and the workbook's own sheets go before them."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str = Field(default="", max_length=120, description="Name of the job; the file's name if empty.")
    unit: Literal["in", "mm"] | None = Field(
        default=None, description="Unit of bare numbers, and of the texts in the plan; asked of the workbook if empty."
    )
    currency: str = Field(default="", max_length=8, description="Shown behind amounts of money, such as EUR.")
    columns: dict[str, str] = Field(
        default_factory=dict, description="Which column holds what: our column word to the file's own heading."
    )
    remembered_columns: dict[str, dict[str, str]] = Field(
        default_factory=dict, description="Column mappings given earlier, by the shape of the table they were for."
    )
    rules: dict[str, str] = Field(
        default_factory=dict, description="Shop rules by name, as they would stand in a cell."
    )
    accept_proposals: bool = Field(default=False, description="Answer every open question with its proposal.")
    answers: dict[str, str] = Field(
        default_factory=dict,
        description="Answers to questions: sheet!cell to the text the cell should have held, or to accept or park; "
        "'every' and a kind of question answers all of that kind.",
    )
    park_faulty_rows: bool = Field(
        default=False, description="Plan the rows that can be used and list the others for measuring again."
    )
    use_rack: bool = Field(
        default=False,
        description="Plan with the leftovers on the rack: what the plan takes is reserved for the job, "
        "what it leaves over is expected on the rack.",
    )
    seconds: float = Field(
        default=50, gt=0, le=3600, description="Time limit for the whole search, in seconds on two cores."
    )
    work: int = Field(
        default=150_000, gt=0, description="Work limit for the whole search, in units of about a millisecond."
    )
    seed: int = Field(default=1, ge=0, le=2**31 - 1, description="Start of the search's chance; same seed, same plan.")
    paper: Literal["letter", "a4"] | None = Field(
        default=None, description="Paper size; letter for jobs in inches and A4 for jobs in mm if empty."
    )
    labels: LabelGrid | None = Field(default=None, description="Label page; a common one of the paper size if empty.")
