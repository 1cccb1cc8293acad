"""The image's recipe, linted; no container engine is needed for that."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
DOCKERFILE = ROOT / "docker" / "Dockerfile"


def test_the_recipe_passes_its_linter() -> None:
    hadolint = Path(sys.executable).parent / "hadolint"
    linted = subprocess.run([hadolint, "--failure-threshold", "info", DOCKERFILE], capture_output=True, check=False)
    assert linted.returncode == 0, linted.stdout.decode()


def test_the_service_runs_as_nobody_special_and_says_how_it_is() -> None:
    final = DOCKERFILE.read_text().rpartition("FROM ")[2]
    assert "USER 10001:10001" in final
    assert "HEALTHCHECK" in final
    assert "/health/ready" in final


def test_the_image_gets_the_versions_that_were_tested() -> None:
    installs = [line for line in DOCKERFILE.read_text().splitlines() if "pip install" in line]
    assert installs
    assert all("--constraint constraints.txt" in line for line in installs)


def test_the_build_sees_only_what_it_needs() -> None:
    lines = (ROOT / ".dockerignore").read_text().splitlines()
    assert lines[1] == "*"
    assert {line[1:] for line in lines if line.startswith("!")} == {
        "README.md",
        "pyproject.toml",
        "docker/constraints.txt",
        "service",
        "solver",
    }
