"""Revisions outside the solver: events read from sheets and requests, revisions kept as files, differences as text."""
