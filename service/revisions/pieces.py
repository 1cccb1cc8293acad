"""A large record as JSON piece by piece, so that its whole text is never in memory at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, get_args, get_type_hints

from pydantic import BaseModel, TypeAdapter

_AT_ONCE = 500
"""Members of a list written at once; a shorter list is written whole."""


def record_pieces(record: BaseModel) -> Iterator[bytes]:
    """Yield the JSON of a record; joined, it is what ``model_dump_json`` gives.

    Examples
    --------
    >>> class Order(BaseModel):
    ...     name: str
    ...     sizes: list[int]
    >>> b"".join(record_pieces(Order(name="A", sizes=[1, 2])))
    b'{"name":"A","sizes":[1,2]}'
    """
    return _of_record(record, tuple(type(record).model_fields))


def _of_record(record: Any, names: tuple[str, ...]) -> Iterator[bytes]:
    kind: Any = type(record)
    hints = _hints(kind)
    for at, name in enumerate(names):
        yield f'{"," if at else "{"}"{name}":'.encode()
        yield from _of_value(getattr(record, name), hints[name])
    yield b"}" if names else b"{}"


def _of_value(value: Any, hint: Any) -> Iterator[bytes]:
    if isinstance(value, tuple) and get_args(hint)[1:] == (...,) and value:
        (member, _) = get_args(hint)
        return _of_members(value, member)
    if is_dataclass(value) and not isinstance(value, type) and _is_large(value):
        return _of_record(value, tuple(field.name for field in fields(value)))
    return iter((_adapter(hint).dump_json(value),))


def _of_members(values: tuple[Any, ...], member: Any) -> Iterator[bytes]:
    if any(_is_large(value) for value in values):
        for at, value in enumerate(values):
            yield b"," if at else b"["
            yield from _of_value(value, member)
    else:
        for start in range(0, len(values), _AT_ONCE):
            yield b"," if start else b"["
            yield _adapter(tuple[member, ...]).dump_json(values[start : start + _AT_ONCE])[1:-1]
    yield b"]"


def _is_large(value: Any) -> bool:
    """Return whether a record holds a list that is better written in pieces, itself or in a record of its own."""
    if not is_dataclass(value) or isinstance(value, type):
        return False
    for field in fields(value):
        held = getattr(value, field.name)
        if isinstance(held, tuple) and (len(held) > _AT_ONCE or any(map(_is_large, held[:8]))):
            return True
        if _is_large(held):
            return True
    return False


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)


@cache
def _adapter(hint: Any) -> TypeAdapter[Any]:
    return TypeAdapter(hint)
