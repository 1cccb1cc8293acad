"""Option that says what openings are taken together by."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from solver.pooling import Belonging

WORDS = [belonging.value for belonging in Belonging]


def belonging_option(default: Belonging) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return the option ``--by``, which a command gets as ``by``."""
    return click.option(
        "--by",
        type=click.Choice(WORDS),
        default=default.value,
        show_default=True,
        callback=lambda ctx, option, value: Belonging(value),
        help="What openings are taken together by.",
    )
