"""Starts child processes from one thread that lives as long as its process.

The kernel's death signal fires when the *thread* that started a child ends, so
a child started from a pool's short-lived thread would die with that thread.
"""

from __future__ import annotations

import os
import queue
import re
import socket
import subprocess
import sys
import tempfile
import threading
from concurrent.futures import Future
from dataclasses import dataclass
from typing import IO

_TAKEN_ALONG = re.compile(
    "PATH|HOME|LANG|LC_.*|TZ|TMPDIR|PYTHON.*|VIRTUAL_ENV|LD_LIBRARY_PATH|NUMBA_.*|COV.*|CI|SYSTEMROOT"
)
"""Variables that a child may see. Passwords and access keys stay here: a child reads files of strangers."""
_ONE_THREAD_EACH = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")


@dataclass(frozen=True, slots=True)
class Child:
    """A started child, our end of its line, and the file its last words go to."""

    process: subprocess.Popen[bytes]
    line: socket.socket
    words: IO[bytes]


class Nursery:
    """Starts children on request, always from the same thread."""

    def __init__(self) -> None:
        self._wishes: queue.SimpleQueue[tuple[Future[Child], tuple[str, ...]]] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None
        self._lock = threading.Lock()

    def child(self, modules: tuple[str, ...]) -> Child:
        """Start a child that imports the modules ahead of its first call, and return it.

        Raises
        ------
        OSError
            If the machine has no process, memory or file left for it.
        """
        with self._lock:
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name="nursery", daemon=True)
                self._thread.start()
        wish: Future[Child] = Future()
        self._wishes.put((wish, modules))
        return wish.result()

    def _work(self) -> None:
        while True:
            wish, modules = self._wishes.get()
            try:
                wish.set_result(_start(modules))
            except BaseException as error:
                wish.set_exception(error)


def _start(modules: tuple[str, ...]) -> Child:
    ours, theirs = socket.socketpair()
    words = tempfile.TemporaryFile()  # noqa: SIM115 - lives as long as the child
    with theirs:
        process = subprocess.Popen(  # noqa: S603 - our own interpreter, our own module
            [sys.executable, "-P", "-m", "service.engine.child", str(theirs.fileno()), str(os.getpid()), *modules],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=words,
            pass_fds=[theirs.fileno()],
            start_new_session=True,
            cwd="/",  # a folder that nobody removes meanwhile
            env={name: value for name, value in os.environ.items() if _TAKEN_ALONG.fullmatch(name)} | _ONE_THREAD_EACH,
        )
    return Child(process, ours, words)


NURSERY = Nursery()
"""The one nursery of this process."""
