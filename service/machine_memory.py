"""How much memory a part of a job may use where nobody said so."""

from __future__ import annotations

import os

MEBIBYTE = 1 << 20
LEAST, MOST = 2_048 * MEBIBYTE, 8_192 * MEBIBYTE


def usual_part_memory() -> int:
    """Return half of the machine's memory in bytes, at least 2 and at most 8 GiB."""
    there = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    return min(max(there // 2, LEAST), MOST)
