"""Brings the tables of the rack up to date.

The rack keeps its steps apart from the job store's, in the same database: each
package owns its tables, and its version has a table of its own.
"""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, text

VERSION_TABLE = "rack_version"
_LOCK = 7_301_959
"""Any fixed number other than the job store's: processes that start at once take turns behind it."""


def up_to_date(engine: Engine) -> None:
    """Carry out the steps that are missing, all or none; processes that start together wait for each other."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    with engine.begin() as connection:
        if engine.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _LOCK})
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
