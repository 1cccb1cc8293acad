"""Pieces on the rack, and each tenant's rules."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables of pieces and rules."""
    op.create_table(
        "rack_pieces",
        sa.Column("id", sa.String(16), primary_key=True),
        sa.Column("tenant", sa.String(64), nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("profile", sa.Text, nullable=False),
        sa.Column("colour", sa.Text, nullable=False),
        sa.Column("mesh", sa.Text, nullable=False),
        sa.Column("width", sa.BigInteger, nullable=False),
        sa.Column("length", sa.BigInteger, nullable=False),
        sa.Column("both_ends_clean", sa.Boolean, nullable=False),
        sa.Column("place", sa.Text, nullable=False),
        sa.Column("source", sa.Text, nullable=False),
        sa.Column("job", sa.String(120), nullable=False),
        sa.Column("created", sa.Float(53), nullable=False),
        sa.Column("changed", sa.Float(53), nullable=False),
    )
    op.create_index("rack_pieces_by_length", "rack_pieces", ["tenant", "state", "length", "id"])
    op.create_index("rack_pieces_by_job", "rack_pieces", ["tenant", "job"])
    op.create_table(
        "rack_rules",
        sa.Column("tenant", sa.String(64), primary_key=True),
        sa.Column("least_stick", sa.BigInteger, nullable=False),
        sa.Column("least_mesh_width", sa.BigInteger, nullable=False),
        sa.Column("least_mesh_length", sa.BigInteger, nullable=False),
        sa.Column("oldest_days", sa.Integer, nullable=False),
        sa.Column("most_pieces", sa.Integer, nullable=False),
    )
