"""The three verdicts on a cell before it has an address: held, asked about, wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeAlias

from service.sheets.cells import Value
from solver.notation import Doubtful, Refused, Result


@dataclass(frozen=True, slots=True)
class Held:
    """A cell understood. ``note`` is a remark that stood in the cell."""

    value: Any
    note: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """A cell to be asked about; questions of one ``kind`` can be answered all alike."""

    kind: str
    message: str
    proposal: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Wrong:
    """A cell that cannot be used; ``message`` says why and what to write."""

    message: str


CellVerdict: TypeAlias = Held | Asked | Wrong

ReadCell: TypeAlias = Callable[[Value], CellVerdict]
"""Reads one cell that is not blank."""


def from_notation(result: Result) -> CellVerdict:
    """Return the verdict on a written length as the verdict on its cell."""
    if isinstance(result, Doubtful):
        return Asked(result.doubt.value, result.message, result.proposal, result.note)
    if isinstance(result, Refused):
        return Wrong(result.message)
    return Held(result.length, result.note)
