"""Column mappings that were given on the command line, remembered for tables of the same shape."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path

_MOST = 200
"""Mappings kept; the oldest goes first."""


def memory() -> Path:
    """Return the file that keeps the mappings, in the user's data folder (XDG Base Directory Specification)."""
    data = os.environ.get("XDG_DATA_HOME", "")
    return (Path(data) if data else Path.home() / ".local" / "share") / "screenbatch" / "columns.json"


def remembered_columns() -> dict[str, dict[str, str]]:
    """Return the mappings given before, by the shape of their tables; none if nothing sensible is kept."""
    try:
        kept = json.loads(memory().read_bytes())
    except (OSError, ValueError):
        return {}
    if not isinstance(kept, dict):
        return {}
    return {
        shape: {str(word): str(heading) for word, heading in columns.items()}
        for shape, columns in kept.items()
        if isinstance(columns, dict)
    }


def remember(mapping: Mapping[str, Mapping[str, str]]) -> None:
    """Keep mappings by the shape of their tables; a folder that cannot be written stops nothing."""
    if not mapping:
        return
    kept = remembered_columns()
    for shape, columns in mapping.items():
        kept.pop(shape, None)
        kept[shape] = dict(columns)
    latest = dict(list(kept.items())[-_MOST:])
    path = memory()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh = path.with_suffix(".new")
        fresh.write_text(json.dumps(latest, indent=1, ensure_ascii=False))
        fresh.replace(path)
    except OSError:
        return
