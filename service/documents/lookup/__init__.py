"""A plan as a small database file: what a page shows is looked up, never read from a hundred megabytes of JSON."""
