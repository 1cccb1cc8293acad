"""How long reading takes and how much memory: ``python -m tests.speed.sheets [rows]``.

Writes workbooks of openings with 20 columns (and one with a million blank
formatted rows) into a temporary folder and reads each in a process of its own.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import xlsxwriter

from service.job_settings import JobSettings
from service.sheets.read import read_job

SEED = 20_261_125
HEADINGS = (
    "label", "building", "floor", "unit", "room", "width (in)", "width 2", "width 3", "height (in)", "height 2",
    "height 3", "slot width", "profile", "colour", "mesh", "quantity", "order", "phase", "note", "escape",
)  # fmt: skip


def cells(rows: int, *, faulty: bool = False) -> Iterator[list[object]]:
    """Yield rows of openings, numbers as a spreadsheet program keeps them; every size is faulty if asked for."""
    chance = random.Random(SEED)
    for number in range(rows):
        wide, tall = chance.randrange(20 * 16, 60 * 16) / 16, chance.randrange(20 * 16, 60 * 16) / 16
        width: object = f"about {wide}" if faulty else wide
        yield [
            f"L{number:06d}", f"B{number % 7}", str(number % 9), str(number % 400), "bed", width, wide, wide,
            tall, tall, tall, "7/16", "5/16", "white", "grey mesh", 1, f"O{number // 30}", "1", f"note {number}", "yes",
        ]  # fmt: skip


def write_workbook(path: Path, rows: int, *, shared: bool, faulty: bool = False, blanks: int = 0) -> None:
    """Write a workbook with its texts in the cells or shared, as spreadsheet programs do."""
    with xlsxwriter.Workbook(str(path), {"constant_memory": not shared}) as book:
        sheet = book.add_worksheet("openings")
        style = book.add_format({"num_format": "# ??/16"})
        sheet.write_row(0, 0, HEADINGS)
        for number, row in enumerate(cells(rows, faulty=faulty), 1):
            for column, value in enumerate(row):
                sheet.write(number, column, value, style if isinstance(value, float) else None)
        for number in range(rows + 1, min(rows + 1 + blanks, 1_048_576)):
            for column in range(5, 9):
                sheet.write_blank(number, column, None, style)


def write_text(path: Path, rows: int) -> None:
    """Write a text table with sizes as tape fractions would be shown in decimals."""
    with path.open("w") as file:
        file.write(",".join(HEADINGS) + "\n")
        for row in cells(rows):
            file.write(",".join(map(str, row)) + "\n")


def measured(path: Path) -> str:
    """Return how long reading a file took and how much memory the process had at most."""
    started = time.process_time()
    wall = time.perf_counter()
    reading = read_job(path, JobSettings())
    seconds, waited = time.process_time() - started, time.perf_counter() - wall
    status = Path("/proc/self/status").read_text()
    peak = int(status.partition("VmHWM:")[2].split()[0]) // 1024
    found = f"{len(reading.openings)} openings, {len(reading.findings)} findings"
    return f"{seconds:5.1f} s of processor, {waited:5.1f} s, {peak} MB, {found}"


def main(rows: int) -> None:
    """Measure every kind of file."""
    kinds: dict[str, Callable[[Path], None]] = {
        "texts in the cells .xlsx": lambda path: write_workbook(path, rows, shared=False),
        "shared texts .xlsx": lambda path: write_workbook(path, rows, shared=True),
        "every width faulty .xlsx": lambda path: write_workbook(path, rows, shared=False, faulty=True),
        "1 opening, blank rows .xlsx": lambda path: write_workbook(path, 1, shared=False, blanks=300_000),
        "text table .csv": lambda path: write_text(path, rows),
    }
    with tempfile.TemporaryDirectory() as folder:
        for name, write in kinds.items():
            path = Path(folder) / f"job{name[name.rindex('.') :]}"
            write(path)
            command = [sys.executable, "-m", "tests.speed.sheets", "--read", str(path)]
            done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=600)
            print(f"{name:28} {done.stdout.strip()}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--read"]:
        print(measured(Path(sys.argv[2])))
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
