"""What can hurt someone or needs the local authority, said plainly where a row calls for it; never a verdict."""

from solver.sizing.cautions.job import job_remarks, mesh_remarks, open_area_remarks
from solver.sizing.cautions.rows import row_lines, row_remarks

__all__ = ["job_remarks", "mesh_remarks", "open_area_remarks", "row_lines", "row_remarks"]
