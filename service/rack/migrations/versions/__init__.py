"""How the tables of the job store came to be, step by step (Alembic)."""
