"""Messages between a parent and its child over one socket: a letter, a length, a body."""

from __future__ import annotations

import socket
import struct
from enum import Enum

_HEAD = struct.Struct("!cQ")


class Sign(Enum):
    """What a message is."""

    READY = b"r"
    CALL = b"c"
    PROGRESS = b"p"
    ANSWER = b"a"
    RAISED = b"x"
    MEMORY = b"m"


_SIGNS = {sign.value for sign in Sign}


def send(line: socket.socket, sign: Sign, body: bytes = b"") -> None:
    """Send one message."""
    line.sendall(_HEAD.pack(sign.value, len(body)))
    line.sendall(body)


def receive(line: socket.socket) -> tuple[Sign, bytes]:
    """Return the next message.

    Raises
    ------
    EOFError
        If the other side is gone.
    """
    sign, length = _HEAD.unpack(_exactly(line, _HEAD.size))
    return Sign(sign), _exactly(line, length)


def _exactly(line: socket.socket, length: int) -> bytes:
    body = bytearray(length)
    view = memoryview(body)
    while view:
        try:
            got = line.recv_into(view)
        except ConnectionError as error:
            raise EOFError("the other side is gone") from error
        if not got:
            raise EOFError("the other side is gone")
        view = view[got:]
    return bytes(body)


class NonsenseError(Exception):
    """What came is no message, or a larger one than is taken."""


class Inbox:
    """The receiving end for one who must not wait: bytes go in as they come, whole messages come out.

    A message of more than ``most`` bytes is refused by its head, before it comes.
    """

    def __init__(self, most: int = 1 << 20) -> None:
        self._bytes = bytearray()
        self.most = most

    def messages(self, received: bytes) -> list[tuple[Sign, bytes]]:
        """Return every message that is complete with these bytes.

        Raises
        ------
        NonsenseError
            If they are no message, or a larger one than is taken.
        """
        self._bytes += received
        complete = []
        while len(self._bytes) >= _HEAD.size:
            sign, length = _HEAD.unpack_from(self._bytes)
            if sign not in _SIGNS or length > self.most:
                raise NonsenseError(f"a message {sign!r} of {length} bytes, where {self.most} are taken")
            if len(self._bytes) < _HEAD.size + length:
                break
            complete.append((Sign(sign), bytes(self._bytes[_HEAD.size : _HEAD.size + length])))
            del self._bytes[: _HEAD.size + length]
        return complete
