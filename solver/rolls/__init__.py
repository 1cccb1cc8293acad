"""Guillotine nesting: mesh blanks of one cloth assigned to rolls."""
