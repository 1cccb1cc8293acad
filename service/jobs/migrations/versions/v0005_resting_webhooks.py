"""Webhooks rest between letters, and letters have an age."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Say of every webhook how long it rests and how often it failed, and of every letter when it was written."""
    op.add_column("hooks", sa.Column("resting_until", sa.Float(53), nullable=False, server_default="0"))
    op.add_column("hooks", sa.Column("failures", sa.Integer, nullable=False, server_default="0"))
    op.add_column("letters", sa.Column("written", sa.Float(53), nullable=False, server_default="0"))
    op.execute("UPDATE letters SET written = next_at")
    op.create_index("letters_by_age", "letters", ["written"])
