"""The heading row of a table: found under title rows, matched by aliases, units taken from it."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

from service.sheets.cells import Table, Value, cell_text
from service.sheets.columns import Column, Kind
from service.sheets.size_pairs import stated_order
from service.sheets.word_cells import plain_words
from solver.notation.tidy import tidy

_LONGEST_HEADING = 100
_IDLE_BEHIND = {"#", "no", "nr", "num", "number", "id", "name", "code", "reading", "measurement", "size"}
_IDLE_BEFORE = {"opening", "window", "win", "rough", "clear", "actual", "measured", "net", "overall", "the", "our"}
_BEFORE = {"finished", "final", "old screen", "existing screen", "channel", "frame", "screen", "screen frame", "glass",
           "sash", "pane", "daylight", "visible glass"}  # fmt: skip
SEARCHED_ROWS = 30
"""Rows with anything in them among which the heading is looked for."""

UNIT_WORDS = {
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in", "mm": "mm", "millimetres": "mm",
    "millimeters": "mm", "cm": "cm", "centimetres": "cm", "centimeters": "cm", "m": "m", "metres": "m",
    "meters": "m", "ft": "ft", "feet": "ft", "'": "ft", "zoll": "in",
}  # fmt: skip
"""How a unit is named in a heading or in a column of units."""

_BRACKET = re.compile(r"[(\[{]([^)\]}]*)[)\]}]?")
_TAIL_UNIT = re.compile(
    r"(.+?)(?:[ ,/:_-]+(?:in )?(mm|cm|in\.?|inch(?:es)?|feet|ft|millimet(?:er|re)s|centimet(?:er|re)s)| ?(\"))"
)


@dataclass(frozen=True, slots=True)
class Bound:
    """A column of a table: its number from 0, what it holds, and the unit its heading names.

    ``part_of`` is the column of whole inches that a fraction column belongs to,
    ``denominator`` what such a column counts, 0 for whole fractions.
    ``height_first`` says so of a column that holds both sides, ``qualifier`` what
    stood before the word, such as ``finished`` in "finished width".
    """

    index: int
    column: Column
    unit: str
    heading: str
    part_of: int | None = None
    denominator: int = 0
    height_first: bool = False
    qualifier: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """The heading of a table: its last row, its columns, and the headings that mean nothing to us."""

    row: int
    columns: tuple[Bound, ...]
    unknown: tuple[tuple[int, str], ...] = ()

    def missing(self, kind: Kind) -> tuple[Column, ...]:
        """Return the needed columns that are not there."""
        there = {bound.column.field for bound in self.columns}
        if "size" in there:
            there |= {"widths", "heights"}
        return tuple(column for column in kind.needed if column.field not in there)


def heading_parts(text: str) -> tuple[str, str]:
    """Return a heading in plain words and the unit it names, or an empty text.

    Examples
    --------
    >>> heading_parts("Opening Width (in.)"), heading_parts("H [mm]"), heading_parts("No. of")
    (('opening width', 'in'), ('h', 'mm'), ('no of', ''))
    """
    plain = tidy(text)
    unit = ""
    for bracket in _BRACKET.finditer(plain):
        for part in bracket[1].split(","):
            words = part.strip().removeprefix("in ").strip() or part.strip()
            unit = unit or UNIT_WORDS.get(words, "")
    plain = _BRACKET.sub(" ", plain).strip()
    if not unit and (tail := _TAIL_UNIT.fullmatch(plain)):
        unit = UNIT_WORDS[(tail[2] or tail[3])]
        plain = tail[1]
    return plain_words(plain), unit


def find_heading(
    table: Table,
    kind: Kind,
    mapping: Mapping[str, str] | None = None,
    answered: Callable[[int, int], str | None] | None = None,
) -> Heading | None:
    """Return the heading of a table of one kind: the row, or pair of rows, that names most of its columns.

    Parameters
    ----------
    table
        The sheet.
    kind
        What its rows are; the heading must name at least two of its columns, or all that are needed.
    mapping
        Headings as the user mapped them: our column word to the table's own heading.
    answered
        Returns what was answered for a cell, by row and column, instead of its text.
    """
    mapped = _mapped(kind, mapping or {})
    best: Heading | None = None
    best_score = 0
    previous: tuple[int, list[str]] | None = None
    for number, values in islice(table.visible_rows(), SEARCHED_ROWS):
        texts = [cell_text(value) for value in values]
        if answered is not None:
            texts = [answered(number, index) or text for index, text in enumerate(texts)]
        candidates = [_heading(number, texts, kind, mapped)]
        words = _is_words(values)
        if previous is not None and number == previous[0] + 1 and words:
            candidates += [
                _heading(number, both, kind, mapped)
                for above in (previous[1], _without_sizes(previous[1], kind))
                for both in _joined(table, (previous[0], above), texts)
            ]
        for heading in candidates:
            score = _score(heading, kind)
            if score > best_score:
                best, best_score = heading, score
        previous = (number, texts) if words else None
    return best


def _without_sizes(texts: list[str], kind: Kind) -> list[str]:
    """Return an upper heading row without words such as "size", which say nothing beside width and height below."""
    size = kind.by_heading.get("size")
    return ["" if size is not None and kind.by_heading.get(heading_parts(text)[0]) is size else text for text in texts]


def nearest_heading(unknown: Iterable[tuple[int, str]], column: Column) -> tuple[int, str] | None:
    """Return the heading that looks most like a column that is missing."""
    words = [plain_words(word) for word in (column.word, *column.aliases) if len(word) > 3]
    for index, text in unknown:
        plain, _ = heading_parts(text)
        if difflib.get_close_matches(plain[:40], words, n=1, cutoff=0.75):
            return index, text
    return None


def _score(heading: Heading, kind: Kind) -> int:
    fields = {bound.column.field for bound in heading.columns}
    if "size" in fields:
        fields |= {"widths", "heights"}
    needed = sum(column.field in fields for column in kind.needed)
    if len(fields) < 2 and needed < len(kind.needed):
        return 0
    units = sum(bool(bound.unit) for bound in heading.columns)
    return 100 * needed + 2 * len(heading.columns) + len(fields) + units - len(heading.unknown) // 4


def _heading(row: int, texts: list[str], kind: Kind, mapped: Mapping[str, Column]) -> Heading:
    columns: list[Bound] = []
    unknown: list[tuple[int, str]] = []
    taken: set[str] = set()
    for index, text in enumerate(texts):
        if not text or len(text) > _LONGEST_HEADING:
            continue
        plain, unit = heading_parts(text)
        column = mapped.get(plain_words(tidy(text))) or kind.by_heading.get(plain) or _plain_match(text, kind)
        qualifier = ""
        if column is None and stated_order(text) is not None:
            column = kind.by_heading.get("size")
        if column is None:
            column, qualifier = _loosely(plain, kind)
        if column is None or (column.field in taken and not column.repeated):
            unknown.append((index, text))
            continue
        taken.add(column.field)
        columns.append(Bound(index, column, unit, text, qualifier=qualifier))
    return Heading(row, tuple(columns), tuple(unknown))


def _loosely(plain: str, kind: Kind) -> tuple[Column | None, str]:
    """Return the column a heading names among other words, and the words before it that say what was measured."""
    words = plain.split()
    while words and words[-1] in _IDLE_BEHIND:
        words.pop()
    qualifier = ""
    for start in range(len(words)):
        before = " ".join(words[:start])
        if start and before not in _BEFORE and not set(words[:start]) <= _IDLE_BEFORE:
            continue
        column = kind.by_heading.get(" ".join(words[start:]))
        if column is not None:
            qualifier = before if before in _BEFORE else ""
            return column, qualifier
    return None, ""


def _plain_match(text: str, kind: Kind) -> Column | None:
    """Return the column whose heading is the text as it stands, a unit word and all."""
    return kind.by_heading.get(plain_words(tidy(text)))


def _mapped(kind: Kind, mapping: Mapping[str, str]) -> dict[str, Column]:
    found: dict[str, Column] = {}
    for word, heading in mapping.items():
        column = kind.by_heading.get(plain_words(word))
        if column is not None:
            found[plain_words(tidy(heading))] = column
    return found


def _is_words(values: list[Value]) -> bool:
    """Return whether a row can belong to a heading: only texts, none of them a size."""
    filled = [value for value in values if value is not None]
    return bool(filled) and all(isinstance(value, str) and not value.strip()[:1].isdigit() for value in filled)


def _joined(table: Table, upper: tuple[int, list[str]], lower: list[str]) -> Iterator[list[str]]:
    """Yield two heading rows as one: a heading above counts for every column it is merged over, or up to the next."""
    number, texts = upper
    above = texts + [""] * (len(lower) - len(texts))
    below = lower + [""] * (len(above) - len(lower))
    for merge in table.merges[:5_000]:
        if merge.first_row <= number <= merge.last_row and merge.first_column < len(above):
            last = min(merge.last_column, len(above) - 1)
            above[merge.first_column : last + 1] = [above[merge.first_column]] * (last + 1 - merge.first_column)
    yield [f"{top} {bottom}".strip() for top, bottom in zip(above, below, strict=True)]
    for index in range(1, len(above)):
        if not above[index] and below[index] and below[index - 1]:
            above[index] = above[index - 1]
    yield [f"{top} {bottom}".strip() for top, bottom in zip(above, below, strict=True)]
