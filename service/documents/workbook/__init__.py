"""The cut-plan workbook: everything of a plan as sheets that are ready to print."""

from service.documents.workbook.write import write_cut_plan

__all__ = ["write_cut_plan"]
