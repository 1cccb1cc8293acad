"""Stock lists and rules for a job that brings only its openings; no prices, for none are known."""

from solver.defaults.rules import default_rules
from solver.defaults.stock import DEFAULT_COLOUR, default_catalogue

__all__ = ["DEFAULT_COLOUR", "default_catalogue", "default_rules"]
