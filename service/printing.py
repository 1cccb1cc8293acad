"""How a job's papers are printed, from what the caller set and what the service knows of the job."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from service.job_settings import JobSettings
from solver.lengths import Unit

if TYPE_CHECKING:
    from service.documents.papers import PaperSetup

_CODE_LETTERS = 8


def paper_setup(settings: JobSettings, unit: Unit, *, handed_in: date | None = None, job_id: str = "") -> PaperSetup:
    """Return the setup for a job's papers; what the caller left open follows from the job's unit.

    Examples
    --------
    >>> setup = paper_setup(JobSettings(paper="a4"), Unit.INCH, job_id="0f587f3dc94d")
    >>> setup.paper.name, setup.job_code
    ('A4', '0F587F3D')
    """
    from service.documents.papers import A4_LABELS, LETTER_LABELS, LabelStock, Paper, PaperSetup

    code = job_id[:_CODE_LETTERS].upper()
    setup = PaperSetup.usual(unit, handed_in, code)
    if settings.paper is not None:
        paper, labels = {"letter": (Paper.LETTER, LETTER_LABELS), "a4": (Paper.A4, A4_LABELS)}[settings.paper]
        setup = replace(setup, paper=paper, labels=labels)
    if settings.labels is not None:
        setup = replace(setup, labels=LabelStock(**settings.labels.model_dump()))
    return setup
