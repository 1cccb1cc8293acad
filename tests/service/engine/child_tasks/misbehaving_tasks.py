"""Tasks that do to their child what native code and hostile files can do."""

import ctypes
import os
import signal
import subprocess
import sys
import time

from service.engine.calls import Report


def echo(payload: bytes, report: Report) -> bytes:
    return payload


def pid(payload: bytes, report: Report) -> bytes:
    return str(os.getpid()).encode()


def spin_in_native_code(payload: bytes, report: Report) -> None:
    """Hold the interpreter's lock for ever, deaf to everything but SIGKILL."""
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGTERM, signal.SIGINT})
    report(str(os.getpid()).encode())
    ctypes.PyDLL(None).sleep(1_000)


def read_address_zero(payload: bytes, report: Report) -> None:
    ctypes.string_at(0)


def exit_quietly(payload: bytes, report: Report) -> None:
    os._exit(3)


def eat_memory(payload: bytes, report: Report) -> bytes:
    return b"x" * (1 << 32)


def eat_memory_bit_by_bit(payload: bytes, report: Report) -> None:
    hoard = []
    while True:
        hoard.append(bytearray(1 << 20))


def raise_an_error(payload: bytes, report: Report) -> bytes:
    raise RuntimeError("a secret path /srv/shop")


def report_twice(payload: bytes, report: Report) -> bytes:
    report(b"one")
    report(b"two")
    return b"done"


def sleep_a_second(payload: bytes, report: Report) -> bytes:
    time.sleep(1)
    return b"slept"


def chatter(payload: bytes, report: Report) -> bytes:
    print("x" * 1_000_000)
    subprocess.run([sys.executable, "-c", "print('y' * 1000000)"], check=True)
    return b"done"


def environment(payload: bytes, report: Report) -> bytes:
    return "\n".join(sorted(os.environ)).encode()


def write_on_the_line(payload: bytes, report: Report) -> None:
    """Send bytes of one's own, as a file that has taken over its reader can."""
    os.write(int(sys.argv[1]), payload)
    time.sleep(10)
