"""The tables of a lookup file, and opening one."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from service.errors import LookupFormatError

FORMAT = 1
"""Grows when the tables change: a file of another format is written anew, never read."""

TABLES = """
PRAGMA user_version = 1;
CREATE TABLE summary (text TEXT NOT NULL);
CREATE TABLE openings (
    number INTEGER PRIMARY KEY, label TEXT NOT NULL, quantity INTEGER NOT NULL, search TEXT NOT NULL,
    row TEXT NOT NULL, sizes TEXT NOT NULL);
CREATE TABLE stick_runs (number INTEGER PRIMARY KEY, grp INTEGER NOT NULL, first INTEGER NOT NULL, run TEXT NOT NULL);
CREATE TABLE crosscut_runs (
    number INTEGER PRIMARY KEY, grp INTEGER NOT NULL, roll INTEGER NOT NULL, first INTEGER NOT NULL, run TEXT NOT NULL);
CREATE TABLE rails (
    run INTEGER NOT NULL, cut INTEGER NOT NULL, nth INTEGER NOT NULL,
    opening INTEGER NOT NULL, copy INTEGER NOT NULL, place TEXT NOT NULL,
    PRIMARY KEY (run, cut, nth)) WITHOUT ROWID;
CREATE TABLE blanks (
    run INTEGER NOT NULL, cut INTEGER NOT NULL, nth INTEGER NOT NULL,
    opening INTEGER NOT NULL, copy INTEGER NOT NULL,
    PRIMARY KEY (run, cut, nth)) WITHOUT ROWID;
CREATE TABLE leftovers (number INTEGER PRIMARY KEY, row TEXT NOT NULL);
CREATE TABLE parked (number INTEGER PRIMARY KEY, row TEXT NOT NULL);
CREATE TABLE notice_openings (opening INTEGER NOT NULL, notice INTEGER NOT NULL, PRIMARY KEY (opening, notice))
    WITHOUT ROWID;
"""

INDEXES = """
CREATE INDEX openings_label ON openings (label COLLATE NOCASE);
CREATE INDEX rails_opening ON rails (opening);
CREATE INDEX blanks_opening ON blanks (opening);
CREATE INDEX stick_runs_first ON stick_runs (grp, first);
CREATE INDEX crosscut_runs_first ON crosscut_runs (grp, roll, first);
"""


def new_tables(path: Path) -> sqlite3.Connection:
    """Return a new, empty lookup file open for writing: it is written once, so it needs no journal."""
    tables = sqlite3.connect(path, isolation_level=None)
    tables.executescript("PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF;" + TABLES)
    tables.execute("BEGIN")
    return tables


def finish_tables(tables: sqlite3.Connection) -> None:
    """Index the tables and close the file."""
    tables.execute("COMMIT")
    tables.executescript(INDEXES)
    tables.close()


def read_tables(path: Path) -> sqlite3.Connection:
    """Return a finished lookup file open for reading; it never changes, so it needs no locks.

    Raises
    ------
    LookupFormatError
        If the file was written in another format.
    """
    tables = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False)
    (written,) = tables.execute("PRAGMA user_version").fetchone()
    if written != FORMAT:
        tables.close()
        raise LookupFormatError(f"this lookup file has format {written}, not {FORMAT}")
    return tables
