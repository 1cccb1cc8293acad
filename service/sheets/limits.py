"""How much of a file is read: enough for the largest honest job, too little for a bomb."""

from __future__ import annotations

MAX_FILE_BYTES = 64 * 1024 * 1024
"""Largest file as it lies on disk."""

MAX_UNPACKED_BYTES = 640 * 1024 * 1024
"""Most a packed workbook may unpack to, all its members together."""

MAX_RATIO = 400
"""Most a member above a mebibyte may shrink by packing; real sheets shrink 5 to 40 times."""

MAX_ROWS = 250_000
"""Most rows with anything in them, all sheets of a file together."""

MAX_COLUMNS = 256
"""Columns read of a sheet; what lies further right is said and left alone."""

MAX_CELLS = 5_000_000
"""Most cells with anything in them, all sheets of a file together."""

MAX_SHEETS = 200

MAX_TEXT = 2_000
"""Longest text of a cell that is kept; the rest is cut off."""

MAX_TEXTS = 2_000_000
"""Most different texts in a workbook."""

MAX_LINES = 2_000_000
"""Most lines of a text table, blank ones included."""

MAX_LINE = 1 << 20
"""Longest line of a text table."""

MAX_TEXT_TOTAL = 96 * 1024 * 1024
"""Most characters in all different texts of a workbook."""
