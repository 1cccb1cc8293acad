"""Several named byte strings as one, for a call's payload and its answer."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import BinaryIO


def pack(contents: Mapping[str, bytes]) -> bytes:
    """Return named byte strings as one.

    Examples
    --------
    >>> unpack(pack({"part": b"rails", "seed": b"1"}))
    {'part': b'rails', 'seed': b'1'}
    """
    return head({name: len(content) for name, content in contents.items()}) + b"".join(contents.values())


def head(sizes: Mapping[str, int]) -> bytes:
    """Return what stands before the contents in a bundle, given their sizes in bytes."""
    return json.dumps(sizes).encode() + b"\n"


class Joined:
    """Several streams read one after the other, so that a bundle need not be held to be kept."""

    def __init__(self, streams: Sequence[BinaryIO]) -> None:
        self._streams = list(streams)

    def read(self, size: int = -1) -> bytes:
        """Return up to that many bytes of the stream that is up; empty at the end of the last."""
        while self._streams:
            content = self._streams[0].read(size)
            if content:
                return content
            del self._streams[0]
        return b""


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
