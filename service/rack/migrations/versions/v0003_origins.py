"""Where confirmed leftovers came from."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Keep the job that left a piece over, and the length it listed it by; unknown for what lies here already."""
    op.add_column("rack_pieces", sa.Column("origin", sa.String(120), nullable=False, server_default=""))
    op.add_column("rack_pieces", sa.Column("planned", sa.BigInteger(), nullable=False, server_default="0"))
    op.create_index("rack_pieces_by_origin", "rack_pieces", ["tenant", "origin"])
