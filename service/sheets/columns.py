"""What a column can hold: our word for it, how people head it, and how its cells are read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, fields
from enum import Enum
from typing import get_type_hints

from service.sheets.length_cells import LengthCells, Role
from service.sheets.thread_cells import ThreadCells
from service.sheets.verdicts import ReadCell
from service.sheets.word_cells import (
    ChoiceCells,
    MoneyCells,
    ShareCells,
    plain_words,
    read_count,
    read_text,
    read_yes_no,
)
from service.sheets.word_cells import read_year as _read_year
from solver.notation import Comma
from solver.rules import RuleKind, Rules, RuleScope


class Content(Enum):
    """What kind of thing stands in a column."""

    TEXT = "text"
    OPENING_LENGTH = "size of an opening"
    STOCK_LENGTH = "length of stock"
    SMALL_LENGTH = "small length"
    THREAD = "thread"
    COUNT = "count"
    YEAR = "year"
    MONEY = "money"
    SHARE = "share"
    YES_NO = "yes or no"
    CHOICE = "choice"

    @property
    def is_length(self) -> bool:
        """Whether a unit decides what a bare number means."""
        return self in _LENGTHS


_LENGTHS = {Content.OPENING_LENGTH, Content.STOCK_LENGTH, Content.SMALL_LENGTH, Content.THREAD}
_ROLES = {
    Content.OPENING_LENGTH: Role.OPENING,
    Content.STOCK_LENGTH: Role.STOCK,
    Content.SMALL_LENGTH: Role.SMALL,
}


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column of one of our sheets.

    ``field`` is the record's field, ``word`` our heading, ``aliases`` other
    headings for the same. Several columns of one ``field`` that is ``repeated``
    give several values, in the order of the sheet. ``offered`` are the words of
    a drop-down. ``needed`` columns must be there and filled.
    """

    field: str
    word: str
    content: Content = Content.TEXT
    aliases: tuple[str, ...] = ()
    note: str = ""
    example: str | float | int = ""
    needed: bool = False
    repeated: bool = False
    choice: ChoiceCells | None = None
    offered: tuple[str, ...] = ()

    def reader(self, unit: str, comma: Comma) -> ReadCell:
        """Return what reads this column's cells, bare numbers in ``unit``."""
        if self.content in _ROLES:
            return LengthCells(unit, _ROLES[self.content], comma)
        if self.content is Content.THREAD:
            return ThreadCells(unit, comma)
        if self.content is Content.MONEY:
            return MoneyCells(comma)
        if self.content is Content.SHARE:
            return ShareCells(comma)
        if self.choice is not None:
            return self.choice.fresh()
        return _SIMPLE[self.content]


_SIMPLE: dict[Content, ReadCell] = {
    Content.TEXT: read_text,
    Content.COUNT: read_count,
    Content.YEAR: _read_year,
    Content.YES_NO: read_yes_no,
}


@dataclass(frozen=True)
class Kind:
    """One kind of sheet: what its rows are and which columns they have."""

    name: str
    columns: tuple[Column, ...]
    aliases: tuple[str, ...] = ()
    note: str = ""
    by_heading: Mapping[str, Column] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Index the columns by every heading they go by."""
        found: dict[str, Column] = {}
        for column in self.columns:
            for heading in (column.word, *column.aliases):
                found.setdefault(plain_words(heading), column)
        object.__setattr__(self, "by_heading", found)

    @property
    def needed(self) -> tuple[Column, ...]:
        """The columns that must be there."""
        return tuple(column for column in self.columns if column.needed)


_RULE_CONTENT = {
    RuleKind.LENGTH: Content.SMALL_LENGTH,
    RuleKind.COUNT: Content.COUNT,
    RuleKind.PER_MILLE: Content.SHARE,
    RuleKind.AREA: Content.TEXT,
    RuleKind.YEAR: Content.COUNT,
    RuleKind.TEXT: Content.TEXT,
    RuleKind.CHOICE: Content.CHOICE,
}


def rule_columns(*, wanted: Callable[[RuleScope], bool] = lambda scope: True) -> Iterable[Column]:
    """Yield a column for every shop rule, named as the rule with spaces for underscores."""
    types = get_type_hints(Rules)
    for rule in fields(Rules):
        if wanted(rule.metadata["scope"]):
            content = _RULE_CONTENT[rule.metadata["kind"]]
            choices = types[rule.name]
            yield Column(
                field=rule.name,
                word=rule.name.replace("_", " "),
                content=content,
                note=rule.metadata["what"],
                choice=ChoiceCells.of(choices) if content is Content.CHOICE else None,
                offered=tuple(str(member.value) for member in choices) if content is Content.CHOICE else (),
            )
