"""Tasks that do to their child what native code and hostile files can do."""

import ctypes
import os
import signal
import subprocess
import sys
import time


def echo(payload, report):
    return payload


def pid(payload, report):
    return str(os.getpid()).encode()


def spin_in_native_code(payload, report):
    """Hold the interpreter's lock for ever, deaf to everything but SIGKILL."""
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGTERM, signal.SIGINT})
    report(str(os.getpid()).encode())
    ctypes.PyDLL(None).sleep(1_000)


def read_address_zero(payload, report):
    ctypes.string_at(0)


def exit_quietly(payload, report):
    os._exit(3)


def eat_memory(payload, report):
    return b"x" * (1 << 32)


def eat_memory_bit_by_bit(payload, report):
    hoard = []
    while True:
        hoard.append(bytearray(1 << 20))


def raise_an_error(payload, report):
    raise RuntimeError("a secret path /srv/shop")


def report_twice(payload, report):
    report(b"one")
    report(b"two")
    return b"done"


def sleep_a_second(payload, report):
    time.sleep(1)
    return b"slept"


def chatter(payload, report):
    print("x" * 1_000_000)
    subprocess.run([sys.executable, "-c", "print('y' * 1000000)"], check=True)
    return b"done"
