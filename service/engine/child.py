"""The child's side of the guard: takes calls, runs them one after the other, dies with its parent.

Started as ``python -P -m service.engine.child SOCKET PARENT [MODULE ...]``, never by hand; imports the modules ahead.
"""

from __future__ import annotations

import contextlib
import ctypes
import faulthandler
import importlib
import os
import queue
import resource
import signal
import socket
import sys
import threading
import traceback

from service.engine.wire import Sign, receive, send

_PR_SET_PDEATHSIG = 1
_NICENESS = 5


def main(arguments: list[str]) -> None:
    """Serve calls until the parent hangs up."""
    line = socket.socket(fileno=int(arguments[0]))
    _die_with_parent(int(arguments[1]))
    _be_the_first_to_go()
    faulthandler.enable()
    calls: queue.SimpleQueue[bytes] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(line, calls), daemon=True).start()
    for module in arguments[2:]:
        importlib.import_module(module)
    send(line, Sign.READY)
    while True:
        _serve(line, calls.get())


def _die_with_parent(parent: int) -> None:
    """Ask the kernel for a SIGKILL when the parent dies; it may have died before we could ask."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
    if os.getppid() != parent:
        os._exit(0)


def _be_the_first_to_go() -> None:
    """Leave the processor to those who answer people, and be the one the kernel sacrifices when memory ends."""
    os.nice(_NICENESS)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with contextlib.suppress(OSError), open("/proc/self/oom_score_adj", "w") as score:
        score.write("1000")


def _listen(line: socket.socket, calls: queue.SimpleQueue[bytes]) -> None:
    """Pass calls on; a parent that hangs up ends this process, whatever it is doing."""
    while True:
        try:
            _, body = receive(line)
        except (EOFError, OSError):
            os._exit(0)
        calls.put(body)


def _serve(line: socket.socket, body: bytes) -> None:
    head, _, payload = body.partition(b"\n")
    task, memory = head.decode().split(" ")
    _, hard = resource.getrlimit(resource.RLIMIT_DATA)
    resource.setrlimit(resource.RLIMIT_DATA, (int(memory), hard))
    try:
        module, _, function = task.partition(":")
        run = getattr(importlib.import_module(module), function)
        answer = run(payload, lambda progress: send(line, Sign.PROGRESS, progress))
    except MemoryError:
        resource.setrlimit(resource.RLIMIT_DATA, (hard, hard))
        send(line, Sign.MEMORY)
    except Exception:
        send(line, Sign.RAISED, traceback.format_exc().encode())
    else:
        resource.setrlimit(resource.RLIMIT_DATA, (hard, hard))
        send(line, Sign.ANSWER, answer)


if __name__ == "__main__":
    main(sys.argv[1:])
