"""Column mappings that were given on the command line, remembered for tables of the same shape."""

from __future__ import annotations

import json
import os
from pathlib import Path

from service.sheets.findings import JobReading

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


def remember(reading: JobReading) -> None:
    """Keep the mapping a job was read with, if the user gave one; a folder that cannot be written stops nothing."""
    if not reading.shape or reading.problem is None:
        return
    kept = remembered_columns()
    kept.pop(reading.shape, None)
    kept[reading.shape] = dict(reading.columns)
    latest = dict(list(kept.items())[-_MOST:])
    path = memory()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh = path.with_suffix(".new")
        fresh.write_text(json.dumps(latest, indent=1, ensure_ascii=False))
        fresh.replace(path)
    except OSError:
        return
