"""Leftovers as records, and between them and a job: stock on hand, what a plan takes of it, what it leaves over."""
