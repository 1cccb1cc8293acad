"""Promises that wait to be settled."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Keep which jobs were promised pieces for a plan that is being committed."""
    op.create_table(
        "rack_promises",
        sa.Column("tenant", sa.String(64), primary_key=True),
        sa.Column("job", sa.String(120), primary_key=True),
        sa.Column("since", sa.Float(53), nullable=False),
    )
