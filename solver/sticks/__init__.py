"""Cutting stock: rails of one profile and colour assigned to stick lengths."""
