"""Records of the solver as JSON bytes and back, exactly: what crosses a process border or rests in a store.

JSON and not pickle, because reading it can never run anything: a spreadsheet
that takes over the child that parses it must not reach its parent.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import TypeAdapter


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def to_json(kind: Any, record: Any) -> bytes:
    """Return a record as JSON; ``kind`` is its type, such as ``Problem`` or ``tuple[Part, ...]``."""
    return _adapter(kind).dump_json(record)


def from_json(kind: Any, text: bytes | str) -> Any:
    """Return the record that ``to_json`` wrote.

    Raises
    ------
    pydantic.ValidationError
        If the text is not of that kind; records check themselves as they are built.

    Examples
    --------
    >>> from solver.plan import Rail, Place
    >>> rail = Rail(place=Place.TOP, length=320)
    >>> from_json(Rail, to_json(Rail, rail)) == rail
    True
    """
    return _adapter(kind).validate_json(text)
