"""One warm child process and what its parent does to keep it in bounds."""

from __future__ import annotations

import contextlib
import os
import selectors
import signal
import subprocess
import time

from service.engine.calls import (
    Answered,
    Call,
    Crashed,
    Lost,
    Outcome,
    OutOfMemory,
    Overran,
    Raised,
    Report,
    Stop,
    Stopped,
)
from service.engine.nursery import NURSERY
from service.engine.wire import Inbox, NonsenseError, Sign, send

_TICK_SECONDS = 0.1
_START_SECONDS = 60.0
_DEATH_SECONDS = 1.0
_LAST_WORDS = 4_000


class Slot:
    """A child that runs one call at a time; used by one thread at a time.

    After an outcome other than ``Answered`` or ``Raised`` the child is gone and
    ``alive`` is False.
    """

    def __init__(self, modules: tuple[str, ...] = ()) -> None:
        self._child = NURSERY.child(modules)
        self._selector = selectors.DefaultSelector()
        self._selector.register(self._child.line, selectors.EVENT_READ)
        self._inbox = Inbox()
        self._ready = False
        self.calls = 0
        self.alive = True

    def run(self, call: Call, stop: Stop, report: Report) -> Outcome:
        """Run a call to its end, whatever that is; the child is killed where it must be."""
        self.calls += 1
        if not self._ready:
            missing = self._await_ready(stop)
            if missing is not None:
                self.close()
                return missing
        self._inbox.most = call.memory
        deadline = time.monotonic() + call.seconds
        head = f"{call.task} {call.memory}\n".encode()
        try:
            self._child.line.settimeout(call.seconds)
            send(self._child.line, Sign.CALL, head + call.payload)
            outcome = self._await_answer(call, deadline, stop, report)
        except TimeoutError:
            outcome = Overran(call.seconds)
        except (EOFError, ConnectionError):
            outcome = self._autopsy()
        except NonsenseError as error:
            outcome = Crashed("answered nonsense", str(error))
        if not isinstance(outcome, Answered | Raised):
            self.close()
        return outcome

    def close(self) -> None:
        """Kill the child and wait until it is gone."""
        if not self.alive:
            return
        self.alive = False
        self._kill()
        self._selector.close()
        self._child.line.close()
        self._child.words.close()

    @property
    def fit(self) -> bool:
        """Whether the child is still there, as it must be before a call: a dead one is not the next call's fault."""
        return self.alive and self._child.process.poll() is None

    def _kill(self) -> None:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._child.process.pid, signal.SIGKILL)
        self._child.process.wait()

    def _await_ready(self, stop: Stop) -> Outcome | None:
        deadline = time.monotonic() + _START_SECONDS
        while time.monotonic() < deadline:
            try:
                messages = self._incoming()
            except (EOFError, ConnectionError, NonsenseError):
                how = self._autopsy()
                return Lost(f"a child process did not start: {how.how}\n{how.trace}")
            if any(sign is Sign.READY for sign, _ in messages):
                self._ready = True
                return None
            if stop():
                return Stopped()
        return Lost(f"a child process did not start within {_START_SECONDS:.0f} s")

    def _await_answer(self, call: Call, deadline: float, stop: Stop, report: Report) -> Outcome:
        while True:
            for sign, body in self._incoming(min(_TICK_SECONDS, max(0.0, deadline - time.monotonic()))):
                match sign:
                    case Sign.ANSWER:
                        return Answered(body)
                    case Sign.RAISED:
                        return Raised(body.decode(errors="replace"))
                    case Sign.MEMORY:
                        return OutOfMemory(call.memory)
                    case Sign.PROGRESS:
                        report(body)
            if stop():
                return Stopped()
            if time.monotonic() >= deadline:
                return Overran(call.seconds)

    def _incoming(self, seconds: float = _TICK_SECONDS) -> list[tuple[Sign, bytes]]:
        if not self._selector.select(seconds):
            return []
        received = self._child.line.recv(1 << 20)
        if not received:
            raise EOFError("the child hung up")
        return self._inbox.messages(received)

    def _autopsy(self) -> Crashed:
        try:
            code = self._child.process.wait(_DEATH_SECONDS)
        except subprocess.TimeoutExpired:
            self._kill()
            code = self._child.process.returncode
        how = f"killed by {signal.Signals(-code).name}" if code < 0 else f"ended with exit code {code}"
        size = os.fstat(self._child.words.fileno()).st_size
        trace = os.pread(self._child.words.fileno(), _LAST_WORDS, max(0, size - _LAST_WORDS))
        return Crashed(how, trace.decode(errors="replace"))
