"""A copy of the store and its files, taken while the service runs."""

from __future__ import annotations

import contextlib
import shutil
import sqlite3
from pathlib import Path

from service.errors import SettingsError


def back_up(data: Path, to: Path) -> int:
    """Copy a SQLite store with its files into an empty folder; return how many files were copied.

    The database is copied first, by SQLite's online backup. Files are kept by
    the hash of their content and are written before the database mentions them,
    so every file that the copied database mentions is copied after it. The copy
    is a data folder like the original: ``screenbatch serve --data`` runs on it.

    Raises
    ------
    SettingsError
        If there is no SQLite store, or the folder is not empty.
    """
    database = data / "jobs.sqlite3"
    if not database.is_file():
        raise SettingsError(f"there is no {database}; a PostgreSQL store is backed up by pg_dump, its files by a copy")
    to.mkdir(parents=True, exist_ok=True, mode=0o700)
    if any(to.iterdir()):
        raise SettingsError(f"{to} is not empty")
    with (
        contextlib.closing(sqlite3.connect(database)) as running,
        contextlib.closing(sqlite3.connect(to / "jobs.sqlite3")) as copy,
    ):
        running.backup(copy)
    copied = 0
    for file in (data / "files").glob("??/*"):
        place = to / "files" / file.parent.name / file.name
        place.parent.mkdir(parents=True, exist_ok=True)
        with contextlib.suppress(FileNotFoundError):
            shutil.copy2(file, place)
            copied += 1
    return copied
