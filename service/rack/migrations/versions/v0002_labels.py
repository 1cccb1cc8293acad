"""The codes that jobs printed on their leftovers."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Keep the code on a leftover's label beside its code on the rack."""
    op.add_column("rack_pieces", sa.Column("label", sa.String(64), nullable=False, server_default=""))
