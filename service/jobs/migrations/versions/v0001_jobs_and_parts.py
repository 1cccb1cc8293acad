"""Jobs, their parts and documents, and idempotency keys."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("tenant", sa.String(64), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("settings", sa.Text, nullable=False),
        sa.Column("upload_name", sa.String(255), nullable=False),
        sa.Column("upload_digest", sa.String(64), nullable=False),
        sa.Column("upload_size", sa.BigInteger, nullable=False),
        sa.Column("created", sa.Float(53), nullable=False),
        sa.Column("changed", sa.Float(53), nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("findings", sa.Text, nullable=False),
        sa.Column("trouble", sa.Text, nullable=False),
        sa.Column("problem", sa.String(64), nullable=False),
    )
    op.create_index("jobs_by_tenant", "jobs", ["tenant", "created", "id"])
    op.create_index("jobs_by_tenant_and_state", "jobs", ["tenant", "state"])
    op.create_index("jobs_by_change", "jobs", ["state", "changed"])
    op.create_index("jobs_by_upload", "jobs", ["upload_digest"])
    op.create_index("jobs_by_problem", "jobs", ["problem"])
    op.create_table(
        "parts",
        sa.Column("id", sa.String(40), primary_key=True),
        sa.Column("job", sa.String(32), sa.ForeignKey("jobs.id", ondelete="CASCADE"), nullable=False),
        sa.Column("tenant", sa.String(64), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("task", sa.String(16), nullable=False),
        sa.Column("turn", sa.BigInteger, nullable=False),
        sa.Column("weight", sa.BigInteger, nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("payload", sa.String(64), nullable=False),
        sa.Column("answer", sa.String(64), nullable=False),
        sa.Column("owner", sa.String(128), nullable=False),
        sa.Column("leased_until", sa.Float(53), nullable=False),
        sa.Column("queued", sa.Float(53), nullable=False),
        sa.Column("not_before", sa.Float(53), nullable=False),
        sa.Column("fence", sa.BigInteger, nullable=False),
        sa.Column("deliveries", sa.Integer, nullable=False),
        sa.Column("crashes", sa.Integer, nullable=False),
        sa.Column("cost", sa.String(40)),
        sa.Column("bound", sa.String(40)),
        sa.Column("trouble", sa.Text, nullable=False),
        sa.Column("started", sa.Float(53)),
        sa.Column("ended", sa.Float(53)),
    )
    op.create_index("parts_by_job", "parts", ["job", "number"], unique=True)
    op.create_index("parts_open_by_job", "parts", ["job", "state"])
    op.create_index("parts_in_turn", "parts", ["state", "turn", "id"])
    op.create_index("parts_by_age", "parts", ["state", "queued"])
    op.create_index("parts_by_tenant", "parts", ["tenant", "state"])
    op.create_index("parts_by_payload", "parts", ["payload"])
    op.create_index("parts_by_answer", "parts", ["answer"])
    op.create_index("parts_pausing", "parts", ["state", "not_before"])
    running = sa.text("state = 'running'")
    op.create_index("parts_leased", "parts", ["leased_until"], sqlite_where=running, postgresql_where=running)
    op.create_table(
        "idempotency_keys",
        sa.Column("tenant", sa.String(64), primary_key=True),
        sa.Column("key", sa.String(255), primary_key=True),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("job", sa.String(32), sa.ForeignKey("jobs.id", ondelete="CASCADE"), nullable=False),
    )
    op.create_index("idempotency_keys_by_job", "idempotency_keys", ["job"])
    op.create_table(
        "documents",
        sa.Column("job", sa.String(32), sa.ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True),
        sa.Column("name", sa.String(255), primary_key=True),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("size", sa.BigInteger, nullable=False),
    )
    op.create_index("documents_by_digest", "documents", ["digest"])
