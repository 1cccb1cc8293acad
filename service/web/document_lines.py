"""The documents of a job as the page offers them: what each is for, and how large it is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePath

from service.deliverables import KEPT_BACK
from service.jobs.records import Attachment, Job

_WORDS = {
    "difference.txt": "what changed, in words",
    "difference.json": "what changed, for other programs",
    "labels-to-print-again": "the labels that no longer say the truth",
    "parts-to-send": "single parts that a shipment lacked",
    "answer.json": "the answer, for other programs",
    "size-sign-off": "every size, to be signed before cutting",
    "purchase-list.pdf": "what to buy, by supplier",
    "quotation": "what it costs, for the customer",
    "stick-sheets": "what the saw cuts, to scale, to tick off",
    "mesh-sheets": "what the cutting table cuts, to scale",
    "labels": "a label for every piece",
    "pick-lists": "what goes together, by order",
    "assembly-sheets": "how each screen goes together",
    "re-measure": "rows to measure again, as a walking route",
    "cut-plan.xlsx": "the whole cut plan as a workbook",
    "purchase-list.csv": "what to buy, for an order form",
    "stick-cuts.csv": "cuts and lengths for a saw stop",
    "mesh-crosscuts.zip": "crosscuts for a cutting table",
    "plan.json": "the plan for other programs",
    "revision.json.gz": "where this plan stands, to plan again from",
}
"""What each document is for, by how its name begins, in the order a shop needs them."""

_KINDS = {
    ".pdf": "to print",
    ".csv": "a table",
    ".xlsx": "a workbook",
    ".dxf": "for a cutting table",
    ".svg": "a drawing",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class DocumentLine:
    """A document on offer."""

    name: str
    title: str
    words: str
    size: str
    paper: bool


def document_lines(job: Job) -> tuple[DocumentLine, ...]:
    """Return the documents of a job in the order a shop needs them: papers and workbook before data."""
    shown = [document for document in job.documents if document.name not in KEPT_BACK]
    shown.sort(key=_order)
    return tuple(
        DocumentLine(
            name=document.name,
            title=_title(document.name),
            words=_words(document.name),
            size=size_words(document.size),
            paper=document.name.endswith(".pdf"),
        )
        for document in shown
    )


def size_words(size: int) -> str:
    """Return a size in bytes as a person reads it.

    Examples
    --------
    >>> size_words(900), size_words(14_600), size_words(3_400_000)
    ('1 kB', '15 kB', '3.4 MB')
    """
    if size < 1_000_000:
        return f"{max(1, round(size / 1_000)):,} kB"
    return f"{size / 1_000_000:,.1f} MB"


def _title(name: str) -> str:
    """Return what the shop calls a document.

    Examples
    --------
    >>> _title("stick-sheets.pdf"), _title("plan.json")
    ('Stick sheets', 'Plan')
    """
    return PurePath(name).name.partition(".")[0].replace("-", " ").capitalize()


def _order(document: Attachment) -> int:
    return next((place for place, start in enumerate(_WORDS) if document.name.startswith(start)), len(_WORDS))


def _words(name: str) -> str:
    for start, words in _WORDS.items():
        if name.startswith(start):
            return words
    return _KINDS.get(PurePath(name).suffix, "a document")
