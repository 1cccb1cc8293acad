"""Notices and cautions in the order a person should read them."""

from __future__ import annotations

from collections.abc import Iterable

from solver.plan import Kind, Notice

_GRAVEST_FIRST = (Kind.CAUTION, Kind.REVIEW, Kind.NOTICE)
_NAMED = 60
"""Openings named in one cell before the rest is only counted; plan.json names all."""


def by_gravity(notices: Iterable[Notice]) -> list[Notice]:
    """Return notices gravest first, otherwise in the order they were made."""
    return sorted(notices, key=lambda notice: _GRAVEST_FIRST.index(notice.kind))


def openings_text(openings: tuple[str, ...], named: int = _NAMED) -> str:
    """Return the openings a notice is about; the whole job if it names none.

    Examples
    --------
    >>> openings_text(()), openings_text(("A", "B", "C"), named=2)
    ('the whole job', 'A, B and 1 more')
    """
    if not openings:
        return "the whole job"
    if len(openings) <= named:
        return ", ".join(openings)
    return f"{', '.join(openings[:named])} and {len(openings) - named:,} more"
