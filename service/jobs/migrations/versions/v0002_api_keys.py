"""API keys."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of API keys."""
    op.create_table(
        "api_keys",
        sa.Column("id", sa.String(16), primary_key=True),
        sa.Column("tenant", sa.String(64), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("created", sa.Float(53), nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("revoked", sa.Float(53)),
    )
