"""The papers of the shop, as PDF, from plain records: problem, plan and how to print."""

from service.documents.papers.catalogue import PAPERS, PaperKind
from service.documents.papers.setup import A4_LABELS, LETTER_LABELS, ROLL_LABEL, LabelStock, Paper, PaperSetup

__all__ = ["A4_LABELS", "LETTER_LABELS", "PAPERS", "ROLL_LABEL", "LabelStock", "Paper", "PaperKind", "PaperSetup"]
