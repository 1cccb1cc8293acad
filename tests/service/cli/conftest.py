"""The command line as a person calls it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from click.testing import CliRunner, Result

from service.cli import screenbatch


@pytest.fixture
def run() -> Callable[..., Result]:
    def called(*words: object, code: int = 0) -> Result:
        result = CliRunner().invoke(screenbatch, [str(word) for word in words])
        assert result.exit_code == code, result.output
        return result

    return called
