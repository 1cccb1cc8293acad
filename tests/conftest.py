"""What every test may ask for."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable

import pytest


@pytest.fixture(scope="session")
def program() -> Callable[[str], str]:
    """Return a function that gives the path of an installed program.

    Where the program is missing the test is skipped with its name, except in
    CI, where it fails: there everything is installed.
    """

    def path(name: str) -> str:
        found = shutil.which(name)
        if found is None:
            if os.environ.get("CI"):
                pytest.fail(f"{name} is not installed, and .ci/run should have done it")
            pytest.skip(f"{name} is not installed on this machine")
        return found

    return path
