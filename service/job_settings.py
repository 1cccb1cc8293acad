"""What a caller may say about a job beside its spreadsheet: the same words over HTTP and on the command line."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


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
    seconds: float = Field(
        default=45, gt=0, le=3600, description="Time limit for the whole search, in seconds on two cores."
    )
    work: int = Field(
        default=60_000, gt=0, description="Work limit for the whole search, in units of about a millisecond."
    )
    seed: int = Field(default=1, ge=0, le=2**31 - 1, description="Start of the search's chance; same seed, same plan.")
