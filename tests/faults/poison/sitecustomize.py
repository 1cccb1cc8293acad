"""Loaded by every interpreter that finds this folder: makes some parts deadly in the guarded children alone."""

import os
import sys
import time


def _poison() -> None:
    import solver.solve

    solve_part = solver.solve.solve_part

    def deadly(part, limits):  # type: ignore[no-untyped-def]
        openings = {run.opening for run in part.runs}
        if "POISON-CRASH" in openings and part.name.startswith("rails"):
            os.abort()
        if "POISON-HANG" in openings and part.name.startswith("rails"):
            time.sleep(10_000)
        if "POISON-MEMORY" in openings and part.name.startswith("rails"):
            hoard = []
            while True:
                hoard.append(bytearray(1 << 24))
        return solve_part(part, limits)

    solver.solve.solve_part = deadly


if "service.engine.child" in sys.orig_argv:
    _poison()
