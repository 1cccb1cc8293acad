"""Job files damaged at random, and JSON jobs made at random, read in guarded children: always an answer in words.

Run: ``python -m tests.faults.fuzz_reading --files 2000``
"""

from __future__ import annotations

import argparse
import io
import json
import random
import sys
import time
import zipfile
from collections import Counter
from pathlib import Path

from service.engine.asking import FINDINGS, REFUSAL, Allowance
from service.engine.bundle import pack, unpack
from service.engine.calls import Answered
from service.engine.guard import Guard
from service.job_settings import JobSettings
from service.machine_memory import MEBIBYTE
from tests.faults.storm import report

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
_CELLS = [
    "27 5/8",
    "27,5",
    "~30",
    "#REF!",
    "8-Mar",
    "",
    "-1",
    "1e400",
    "NaN",
    "½",
    "٣",
    "=1+1",
    "x" * 3_000,
    None,
    True,
]
_HEADINGS = ["label", "width", "height", "quantity", "mesh", "profile", "width", "", "  ", "unit", "diagonal 1"]


def damaged(dice: random.Random, content: bytes) -> bytes:
    """Return a file with some bytes changed, cut out or doubled; in a packed workbook, within a member."""
    if content.startswith(b"PK") and dice.random() < 0.8:
        packed = io.BytesIO()
        with (
            zipfile.ZipFile(io.BytesIO(content)) as source,
            zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as target,
        ):
            names = source.namelist()
            hit = dice.choice(names)
            for name in names:
                member = source.read(name)
                target.writestr(name, _hit(dice, member) if name == hit else member)
        return packed.getvalue()
    return _hit(dice, content)


def _hit(dice: random.Random, content: bytes) -> bytes:
    changed = bytearray(content)
    for _ in range(dice.randint(1, 8)):
        at = dice.randrange(len(changed) + 1)
        match dice.randrange(4):
            case 0:
                changed[at : at + 1] = dice.randbytes(1)
            case 1:
                del changed[at : at + dice.randrange(200)]
            case 2:
                changed[at:at] = changed[at : at + dice.randrange(200)]
            case _:
                changed[at:at] = dice.choice([b"<", b">", b'"', b"\0", b"&a;", b"\xff", b"9" * 50, b"</row>", b",,,,"])
    return bytes(changed)


def random_job(dice: random.Random) -> bytes:
    """Return a JSON job of random sheets, headings and cells."""
    sheets = {
        dice.choice(["openings", "sticks", "rolls", "rules", "packs", "leftovers", "more"]): [
            {dice.choice(_HEADINGS): dice.choice([*_CELLS, dice.random() * 100]) for _ in range(dice.randrange(6))}
            for _ in range(dice.randrange(12))
        ]
        for _ in range(dice.randint(1, 4))
    }
    return json.dumps({"sheets": sheets}).encode()


def fuzz_reading(*, files: int, seed: int) -> tuple[dict[str, object], list[str]]:
    """Return how the files ended and what was not as promised."""
    dice = random.Random(seed)
    guard = Guard()
    allowance = Allowance(memory=1_024 * MEBIBYTE, check_seconds=10)
    samples = sorted(SAMPLES.glob("*.xlsx"))
    small = [path.read_bytes() for path in samples if path.stat().st_size < 100_000]
    text = b"label,width,height,quantity\nA-101,33 1/4,47 3/8,2\nA-102,762 mm,40.5,1\n"
    ended: Counter[str] = Counter()
    wrong: list[str] = []
    slowest = 0.0
    for number in range(files):
        match dice.randrange(4):
            case 0:
                name, content = "job.csv", damaged(dice, text)
            case 1:
                name, content = "job.json", random_job(dice)
            case _:
                name, content = "job.xlsx", damaged(dice, dice.choice(small))
        started = time.monotonic()
        settings = JobSettings(unit=dice.choice(["in", "mm", None]), park_faulty_rows=dice.random() < 0.3)
        outcome = guard.run(allowance.check(settings, pack({name: content})))
        slowest = max(slowest, time.monotonic() - started)
        if not isinstance(outcome, Answered):
            wrong.append(f"file {number} ({name}): {outcome}"[-600:])
            continue
        answer = unpack(outcome.answer)
        refused = set(answer) <= REFUSAL
        ended["refused" if refused else "read"] += 1
        if refused and answer[FINDINGS] == b"[]":
            wrong.append(f"file {number} ({name}): refused without a word")
    guard.close()
    return {"files": files, **ended, "slowest s": round(slowest, 2)}, wrong


def main() -> int:
    """Fuzz as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--files", type=int, default=2_000)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    counts, wrong = fuzz_reading(files=given.files, seed=given.seed)
    return report("fuzzed job files", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
