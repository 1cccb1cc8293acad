"""Write the sample jobs beside this script: ``python -m sample_jobs.make_samples``."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from sample_jobs.apartment_block import APARTMENT_BLOCK
from sample_jobs.faulty import write_faulty
from sample_jobs.five_windows import FIVE_WINDOWS
from sample_jobs.supplier_batch import SUPPLIER_BATCH
from sample_jobs.two_windows import TWO_WINDOWS
from service.sheets.job_workbook import write_job_workbook

HERE = Path(__file__).parent


def main(folder: Path) -> None:
    """Write every sample job into a folder."""
    write_job_workbook(folder / "two_windows.xlsx", TWO_WINDOWS)
    write_job_workbook(folder / "five_windows.xlsx", FIVE_WINDOWS)
    write_job_workbook(folder / "apartment_block.xlsx", APARTMENT_BLOCK)
    write_job_workbook(folder / "supplier_batch.xlsx", SUPPLIER_BATCH)
    write_faulty(folder / "faulty.xlsx")
    if folder == HERE:
        # The pages offer this one wherever the program is installed.
        shutil.copy(folder / "apartment_block.xlsx", HERE.parent / "service" / "web" / "sample")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
