"""Number loops written once in Python, compiled only when there is enough to count.

Compiling costs about a second where it is not cached, so a job of two windows
runs the plain function and a job of a thousand the compiled one; both are the
same code on the same whole numbers, so the answer is the same.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, ParamSpec, TypeVar

Arguments = ParamSpec("Arguments")
Answer = TypeVar("Answer")


class Kernel(Generic[Arguments, Answer]):
    """A function on numpy arrays that compiles itself on demand.

    Call ``plain`` or ``compiled``; ``pick(steps)`` returns the one that is
    faster for that many inner steps in all.
    """

    COMPILE_ABOVE_STEPS = 2_000_000

    def __init__(self, function: Callable[Arguments, Answer]) -> None:
        self.plain = function
        self._compiled: Callable[Arguments, Answer] | None = None
        self.__doc__ = function.__doc__

    @property
    def compiled(self) -> Callable[Arguments, Answer]:
        """The function as machine code, compiled on first use and cached on disk."""
        if self._compiled is None:
            import numba

            self._compiled = numba.njit(cache=True, nogil=True)(self.plain)
        return self._compiled

    @property
    def ready(self) -> bool:
        """Whether the machine code is at hand already."""
        return self._compiled is not None

    def pick(self, steps: int) -> Callable[Arguments, Answer]:
        """Return the faster form for a run of ``steps`` inner steps, all repetitions counted."""
        if self._compiled is not None or steps > self.COMPILE_ABOVE_STEPS:
            return self.compiled
        return self.plain
