"""Revisions and questions among the jobs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Say of every job what it is for and what it was made from."""
    op.add_column("jobs", sa.Column("kind", sa.String(16), nullable=False, server_default="plan"))
    op.add_column("jobs", sa.Column("parent", sa.String(32), nullable=False, server_default=""))
    op.add_column("jobs", sa.Column("root", sa.String(32), nullable=False, server_default=""))
    op.create_index("jobs_by_root", "jobs", ["root"])
