"""The disk is full: uploads are refused with words, what was acknowledged is finished once there is room again.

Needs root, for a small file system in memory. Run: ``python -m tests.faults.full_disk``
"""

from __future__ import annotations

import argparse
import contextlib
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import httpx

from tests.faults.storm import report, rows, storm


def full_disk(folder: Path, *, rounds: int, seed: int) -> tuple[dict[str, object], list[str]]:
    """Fill the disk and make room again, some times; return what was done and what was not as promised."""
    answers: Counter[int] = Counter()
    wrong: list[str] = []
    mounted = folder / "small"
    mounted.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64m", "tmpfs", mounted], check=True)
    try:
        with storm(mounted, seed, services=1, logs=folder) as raging:
            service = raging.services[0]
            number = 0
            for _ in range(rounds):
                ballast = mounted / "ballast"
                for _ in range(3):
                    raging.hand_in(number, time.monotonic() + 20)
                    number += 1
                with contextlib.suppress(OSError), ballast.open("wb") as file:
                    while True:
                        file.write(b"x" * 65_536)
                        file.flush()
                for attempt in range(5):
                    form = {"file": (f"late {number} {attempt}.csv", rows(1_000 * number + attempt) + b"\n" * 20_000)}
                    try:
                        answer = service.client.post("/jobs", files=form, data={"settings": '{"unit": "in"}'})
                    except httpx.TransportError as error:
                        wrong.append(f"no answer on a full disk: {error!r}")
                        continue
                    answers[answer.status_code] += 1
                    if answer.status_code == 202:
                        raging.jobs[1_000 * number + attempt] = answer.json()["id"]
                    if service.client.get("/health/live").status_code != 200:
                        wrong.append("not alive on a full disk")
                ballast.unlink(missing_ok=True)
                time.sleep(1.0)
            ended = raging.settle(seconds=120)
            wrong += raging.stop() + raging.audit()
    finally:
        subprocess.run(["umount", "-l", mounted], check=True)
    if not set(answers) <= {202, 503, 507}:
        wrong.append(f"unexpected answers: {dict(answers)}")
    refused = sum(count for status, count in answers.items() if status != 202)
    return {"rounds": rounds, "jobs": len(raging.jobs), "refused": refused, **ended}, wrong


def main() -> int:
    """Fill the disk as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--rounds", type=int, default=5)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, wrong = full_disk(Path(folder), rounds=given.rounds, seed=given.seed)
    return report("disk full", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
