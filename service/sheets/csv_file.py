"""Text tables: encoding, separator and decimal comma found from the text itself."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from itertools import islice
from pathlib import Path

from service.errors import SheetError
from service.sheets.cells import Table, Value
from service.sheets.limits import MAX_CELLS, MAX_COLUMNS, MAX_LINE, MAX_LINES, MAX_ROWS, MAX_TEXT

SHEET_NAME = "openings"
"""What findings call the one sheet of a text table, whatever the file is named."""

_SEPARATORS = (",", ";", "\t", "|")
_MOST_LINES = 20
"""Lines in one cell above which a quotation mark must be missing."""
_ONLY_DECIMAL_COMMA = re.compile(r"-?[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})(?: ?(?:mm|cm|m|in|€|EUR))?|0,[0-9]+")
_DECIMAL_POINT = re.compile(r"-?[0-9]+\.(?:[0-9]{1,2}|[0-9]{4,})(?: ?(?:mm|cm|m|in))?")


def read_csv(path: Path) -> tuple[Table, ...]:
    """Return the one table of a text file.

    Raises
    ------
    SheetError
        If the text cannot be decoded or is far too long.
    """
    text = _decoded(path.read_bytes())
    if text.count("\n") > MAX_LINES or _longest_line(text) > MAX_LINE:
        raise SheetError("the text has far more lines, or far longer ones, than any list of openings; it is not read")
    separator, text = _separator(text)
    csv.field_size_limit(1 << 20)
    rows: list[tuple[int, list[Value]]] = []
    cells = 0
    cut_off: tuple[str, ...] = ()
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, skipinitialspace=True)
    line = 0
    try:
        for fields in reader:
            line += 1
            if len(fields) > MAX_COLUMNS:
                if any(field.strip() for field in fields[MAX_COLUMNS:]):
                    cut_off = (f"columns beyond the {MAX_COLUMNS}th",)
                fields = fields[:MAX_COLUMNS]
            if any(field.count("\n") > _MOST_LINES for field in fields):
                raise csv.Error("a cell of many lines")
            values: list[Value] = [field[:MAX_TEXT] if field.strip() else None for field in fields]
            while values and values[-1] is None:
                values.pop()
            if values:
                rows.append((line, values))
                cells += len(values)
            if len(rows) > MAX_ROWS or cells > MAX_CELLS:
                raise SheetError(f"the table has over {MAX_ROWS:,} rows or {MAX_CELLS:,} cells; split the job")
    except csv.Error as error:
        raise SheetError(
            f"the text table breaks off at its row {line + 1}; a quotation mark may be missing there"
        ) from error
    decimal_comma = separator != "," and _writes_decimal_commas(rows)
    return (Table(name=SHEET_NAME, rows=rows, text_only=True, decimal_comma=decimal_comma, cut_off=cut_off),)


def _longest_line(text: str) -> int:
    longest = position = 0
    while longest <= MAX_LINE:
        end = text.find("\n", position)
        longest = max(longest, (len(text) if end < 0 else end) - position)
        if end < 0:
            break
        position = end + 1
    return longest


def _decoded(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    elif content[1:200:2].count(0) > 0.8 * len(content[1:200:2]):
        encodings = ["utf-16-le"]
    elif content[0:200:2].count(0) > 0.8 * len(content[0:200:2]):
        encodings = ["utf-16-be"]
    else:
        encodings = ["utf-8-sig", "cp1252", "latin-1"]
    for encoding in encodings:
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        return text.replace("\x00", "").removeprefix("\ufeff")
    raise SheetError("the text cannot be read; save the list again as CSV UTF-8, or as .xlsx")


def _separator(text: str) -> tuple[str, str]:
    """Return what separates the columns, and the text without a line that only says so."""
    first, _, rest = text.partition("\n")
    if declared := re.fullmatch(r"sep=(.)\r?", first.strip("\r"), re.IGNORECASE):
        # The line still counts in row numbers, as spreadsheet programs show it neither.
        return declared[1], rest
    sample = text[: 1 << 16]
    best, best_score = ",", (0, 0.0, 0)
    for rank, separator in enumerate(_SEPARATORS):
        try:
            widths = Counter(
                len(fields)
                for fields in islice(csv.reader(io.StringIO(sample, newline=""), delimiter=separator), 200)
                if any(field.strip() for field in fields)
            )
        except csv.Error:
            continue
        split = {width: count for width, count in widths.items() if width > 1}
        if not split:
            continue
        width, count = max(split.items(), key=lambda pair: (pair[1], pair[0]))
        # The separator that cuts most lines into the same number of columns; commas last, they are decimals too.
        score = (int(100 * count / widths.total()), float(width), -rank if separator != "," else -9)
        if score > best_score:
            best, best_score = separator, score
    return best, text


def _writes_decimal_commas(rows: list[tuple[int, list[Value]]]) -> bool:
    """Return whether the numbers of a file can only be decimals with a comma, and none has a point."""
    commas = points = 0
    for _, values in rows[:5000]:
        for value in values:
            if isinstance(value, str):
                commas += bool(_ONLY_DECIMAL_COMMA.fullmatch(value.strip()))
                points += bool(_DECIMAL_POINT.fullmatch(value.strip()))
    return commas > 0 and points == 0
