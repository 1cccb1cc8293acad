"""The tables of the rack, beside those of the job store, for SQLite and PostgreSQL alike."""

from __future__ import annotations

from sqlalchemy import BigInteger, Boolean, Column, Float, Index, Integer, MetaData, String, Table, Text

METADATA = MetaData()

PIECES = Table(
    "rack_pieces",
    METADATA,
    Column("id", String(16), primary_key=True),
    Column("tenant", String(64), nullable=False),
    Column("state", String(16), nullable=False),
    Column("profile", Text, nullable=False),
    Column("colour", Text, nullable=False),
    Column("mesh", Text, nullable=False),
    Column("width", BigInteger, nullable=False),
    Column("length", BigInteger, nullable=False),
    Column("both_ends_clean", Boolean, nullable=False),
    Column("place", Text, nullable=False),
    Column("source", Text, nullable=False),
    Column("job", String(120), nullable=False),
    Column("created", Float(53), nullable=False),
    Column("changed", Float(53), nullable=False),
    Column("label", String(64), nullable=False),
    Column("origin", String(120), nullable=False),
    Column("planned", BigInteger, nullable=False),
)
Index("rack_pieces_by_length", PIECES.c.tenant, PIECES.c.state, PIECES.c.length, PIECES.c.id)
Index("rack_pieces_by_job", PIECES.c.tenant, PIECES.c.job)
Index("rack_pieces_by_origin", PIECES.c.tenant, PIECES.c.origin)

PROMISES = Table(
    "rack_promises",
    METADATA,
    Column("tenant", String(64), primary_key=True),
    Column("job", String(120), primary_key=True),
    Column("since", Float(53), nullable=False),
)

RULES = Table(
    "rack_rules",
    METADATA,
    Column("tenant", String(64), primary_key=True),
    Column("least_stick", BigInteger, nullable=False),
    Column("least_mesh_width", BigInteger, nullable=False),
    Column("least_mesh_length", BigInteger, nullable=False),
    Column("oldest_days", Integer, nullable=False),
    Column("most_pieces", Integer, nullable=False),
)
