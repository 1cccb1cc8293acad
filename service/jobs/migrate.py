"""Brings the tables of a job store up to date."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, text

_LOCK = 7_301_958
"""Any fixed number: processes that start at once take turns behind it."""


def up_to_date(engine: Engine) -> None:
    """Carry out the steps that are missing, all or none; processes that start together wait for each other."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    with engine.begin() as connection:
        if engine.dialect.name == "postgresql":
            # A step may take long on large tables, and those who start meanwhile wait for it.
            for patience in ("statement_timeout", "lock_timeout", "idle_in_transaction_session_timeout"):
                connection.execute(text(f"SET LOCAL {patience} = 0"))
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _LOCK})
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
