"""Runs the steps on the connection that the store hands over; there is no other way to run them."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"], transactional_ddl=True, version_table="rack_version"
)
context.run_migrations()
