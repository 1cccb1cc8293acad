"""Webhooks and the letters on their way to them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables of webhooks and letters."""
    op.create_table(
        "hooks",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("tenant", sa.String(64), nullable=False),
        sa.Column("url", sa.Text, nullable=False),
        sa.Column("secret", sa.String(80), nullable=False),
        sa.Column("created", sa.Float(53), nullable=False),
    )
    op.create_index("hooks_by_tenant", "hooks", ["tenant", "created"])
    op.create_table(
        "letters",
        sa.Column("id", sa.String(40), primary_key=True),
        sa.Column("hook", sa.String(32), sa.ForeignKey("hooks.id", ondelete="CASCADE"), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.Column("next_at", sa.Float(53), nullable=False),
    )
    op.create_index("letters_due", "letters", ["next_at"])
    op.create_index("letters_by_hook", "letters", ["hook"])
