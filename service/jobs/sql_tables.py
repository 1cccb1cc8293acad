"""The tables of the job store, for SQLite and PostgreSQL alike."""

from __future__ import annotations

from sqlalchemy import BigInteger, Column, Float, ForeignKey, Index, Integer, MetaData, String, Table, Text, text

METADATA = MetaData()

JOBS = Table(
    "jobs",
    METADATA,
    Column("id", String(32), primary_key=True),
    Column("tenant", String(64), nullable=False),
    Column("name", String(200), nullable=False),
    Column("settings", Text, nullable=False),
    Column("upload_name", String(255), nullable=False),
    Column("upload_digest", String(64), nullable=False),
    Column("upload_size", BigInteger, nullable=False),
    Column("created", Float(53), nullable=False),
    Column("changed", Float(53), nullable=False),
    Column("state", String(16), nullable=False),
    Column("version", Integer, nullable=False),
    Column("findings", Text, nullable=False),
    Column("trouble", Text, nullable=False),
    Column("problem", String(64), nullable=False),
    Column("kind", String(16), nullable=False),
    Column("parent", String(32), nullable=False),
    Column("root", String(32), nullable=False),
)
Index("jobs_by_root", JOBS.c.root)
Index("jobs_by_tenant", JOBS.c.tenant, JOBS.c.created, JOBS.c.id)
Index("jobs_by_tenant_and_state", JOBS.c.tenant, JOBS.c.state)
Index("jobs_by_change", JOBS.c.state, JOBS.c.changed)
Index("jobs_by_upload", JOBS.c.upload_digest)
Index("jobs_by_problem", JOBS.c.problem)

PARTS = Table(
    "parts",
    METADATA,
    Column("id", String(40), primary_key=True),
    Column("job", String(32), ForeignKey("jobs.id", ondelete="CASCADE"), nullable=False),
    Column("tenant", String(64), nullable=False),
    Column("number", Integer, nullable=False),
    Column("name", Text, nullable=False),
    Column("task", String(16), nullable=False),
    Column("turn", BigInteger, nullable=False),
    Column("weight", BigInteger, nullable=False),
    Column("state", String(16), nullable=False),
    Column("payload", String(64), nullable=False),
    Column("answer", String(64), nullable=False),
    Column("owner", String(128), nullable=False),
    Column("leased_until", Float(53), nullable=False),
    Column("queued", Float(53), nullable=False),
    Column("not_before", Float(53), nullable=False),
    Column("fence", BigInteger, nullable=False),
    Column("deliveries", Integer, nullable=False),
    Column("crashes", Integer, nullable=False),
    Column("cost", String(40)),
    Column("bound", String(40)),
    Column("trouble", Text, nullable=False),
    Column("started", Float(53)),
    Column("ended", Float(53)),
)
Index("parts_by_job", PARTS.c.job, PARTS.c.number, unique=True)
Index("parts_open_by_job", PARTS.c.job, PARTS.c.state)
Index("parts_in_turn", PARTS.c.state, PARTS.c.turn, PARTS.c.id)
Index("parts_by_age", PARTS.c.state, PARTS.c.queued)
Index("parts_by_tenant", PARTS.c.tenant, PARTS.c.state)
Index("parts_by_payload", PARTS.c.payload)
Index("parts_by_answer", PARTS.c.answer)
_RUNNING = text("state = 'running'")
Index("parts_pausing", PARTS.c.state, PARTS.c.not_before)
Index("parts_leased", PARTS.c.leased_until, sqlite_where=_RUNNING, postgresql_where=_RUNNING)

KEYS = Table(
    "idempotency_keys",
    METADATA,
    Column("tenant", String(64), primary_key=True),
    Column("key", String(255), primary_key=True),
    Column("fingerprint", String(64), nullable=False),
    Column("job", String(32), ForeignKey("jobs.id", ondelete="CASCADE"), nullable=False),
)
Index("idempotency_keys_by_job", KEYS.c.job)

DOCUMENTS = Table(
    "documents",
    METADATA,
    Column("job", String(32), ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True),
    Column("name", String(255), primary_key=True),
    Column("digest", String(64), nullable=False),
    Column("size", BigInteger, nullable=False),
)
Index("documents_by_digest", DOCUMENTS.c.digest)

API_KEYS = Table(
    "api_keys",
    METADATA,
    Column("id", String(16), primary_key=True),
    Column("tenant", String(64), nullable=False),
    Column("digest", String(64), nullable=False),
    Column("created", Float(53), nullable=False),
    Column("note", Text, nullable=False),
    Column("revoked", Float(53)),
)

HOOKS = Table(
    "hooks",
    METADATA,
    Column("id", String(32), primary_key=True),
    Column("tenant", String(64), nullable=False),
    Column("url", Text, nullable=False),
    Column("secret", String(80), nullable=False),
    Column("created", Float(53), nullable=False),
    Column("resting_until", Float(53), nullable=False, server_default="0"),
    Column("failures", Integer, nullable=False, server_default="0"),
)
Index("hooks_by_tenant", HOOKS.c.tenant, HOOKS.c.created)

LETTERS = Table(
    "letters",
    METADATA,
    Column("id", String(40), primary_key=True),
    Column("hook", String(32), ForeignKey("hooks.id", ondelete="CASCADE"), nullable=False),
    Column("body", Text, nullable=False),
    Column("tries", Integer, nullable=False),
    Column("next_at", Float(53), nullable=False),
    Column("written", Float(53), nullable=False, server_default="0"),
)
Index("letters_by_age", LETTERS.c.written)
Index("letters_due", LETTERS.c.next_at)
Index("letters_by_hook", LETTERS.c.hook)
