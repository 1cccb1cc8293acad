"""Requests made from the service's own OpenAPI document, valid and not, by schemathesis (extra ``faults``).

Run: ``python -m tests.faults.schema_attack --examples 100``
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.faults.storm import report, rows, storm

_CONFIG = Path(__file__).parent / "schemathesis.toml"


def schema_attack(folder: Path, *, examples: int, seed: int) -> tuple[dict[str, object], list[str]]:
    """Return how many requests were made and what was not as described."""
    with storm(folder, seed, services=1, queue_cap="1000000") as raging:
        service = raging.services[0]
        job = service.hand_in(rows(1), settings='{"unit": "in"}').json()["id"]
        service.await_end(job)
        address = f"{service.client.base_url}/openapi.json"
        command: list[str | Path] = [
            Path(sys.executable).parent / "schemathesis",
            "--config-file",
            _CONFIG,
            "run",
            address,
        ]
        options = ["--seed", str(seed), "--max-examples", str(examples), "--exclude-path-regex", "events|metrics"]
        ran = subprocess.run(
            [*command, *options, "--request-timeout", "30"], cwd=folder, capture_output=True, text=True, check=False
        )
        alive = service.client.get("/health/ready").status_code == 200
        left = raging.stop()
    made = re.search(r"(\d+) generated", ran.stdout)
    broken = re.findall(r"- ST\d+ .*?(?=\n    st replay)", ran.stdout, re.DOTALL)
    if ran.returncode and not broken:
        broken = [ran.stdout[-2_000:] + ran.stderr[-2_000:]]
    if not alive:
        broken.append("the service is not ready after the attack")
    return {"requests": made[1] if made else "none"}, broken + left


def main() -> int:
    """Attack as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--examples", type=int, default=100)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, wrong = schema_attack(Path(folder), examples=given.examples, seed=given.seed)
    return report("schemathesis", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
