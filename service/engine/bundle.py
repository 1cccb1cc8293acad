"""Several named byte strings as one, for a call's payload and its answer."""

from __future__ import annotations

import json
from collections.abc import Mapping


def pack(contents: Mapping[str, bytes]) -> bytes:
    """Return named byte strings as one.

    Examples
    --------
    >>> unpack(pack({"part": b"rails", "seed": b"1"}))
    {'part': b'rails', 'seed': b'1'}
    """
    head = json.dumps({name: len(content) for name, content in contents.items()}).encode()
    return b"\n".join((head, b"".join(contents.values())))


def unpack(bundle: bytes) -> dict[str, bytes]:
    """Return the byte strings that ``pack`` put together, in the same order.

    Raises
    ------
    ValueError
        If it is no whole bundle.
    """
    head, _, body = bundle.partition(b"\n")
    contents, start = {}, 0
    for name, length in json.loads(head).items():
        contents[name] = body[start : start + length]
        start += length
    if start != len(body):
        raise ValueError(f"a bundle of {start} bytes has {len(body)}")
    return contents
