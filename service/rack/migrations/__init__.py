"""How the tables of the rack came to be, step by step (Alembic)."""
