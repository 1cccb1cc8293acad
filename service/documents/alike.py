"""What is cut alike is shown once with a count: runs of identical sticks and of identical crosscuts."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from itertools import groupby
from typing import TypeVar

from solver.plan import Crosscut, CutStick

Cut = TypeVar("Cut", CutStick, Crosscut)


def runs_of_alike_sticks(sticks: Iterable[CutStick]) -> Iterator[tuple[CutStick, ...]]:
    """Yield runs of sticks that follow each other in cutting order and are cut at the same marks.

    Only neighbours with consecutive numbers are joined, so that the cutting order stays as planned and a
    run is named by its first and last number.

    Examples
    --------
    >>> from solver.lengths import Ticks
    >>> def stick(number, offcut):
    ...     return CutStick(number=number, stock="s", length=Ticks(9), rails=(), offcut=Ticks(offcut), kept=False)
    >>> [len(run) for run in runs_of_alike_sticks([stick(1, 5), stick(2, 5), stick(3, 6), stick(4, 5)])]
    [2, 1, 1]
    """
    return _runs(sticks, _stick_cut)


def runs_of_alike_crosscuts(crosscuts: Iterable[Crosscut]) -> Iterator[tuple[Crosscut, ...]]:
    """Yield runs of crosscuts that follow each other on one roll and are ripped and trimmed alike."""
    return _runs(crosscuts, _crosscut_cut)


def _runs(cuts: Iterable[Cut], alike: Callable[[Cut], Hashable]) -> Iterator[tuple[Cut, ...]]:
    counted = enumerate(cuts)
    runs = groupby(counted, key=lambda pair: (alike(pair[1]), pair[1].number - pair[0]))
    return (tuple(cut for _, cut in run) for _, run in runs)


def _stick_cut(stick: CutStick) -> Hashable:
    return (
        stick.stock,
        stick.length,
        stick.bought,
        stick.offcut,
        stick.kept,
        tuple(rail.length for rail in stick.rails),
    )


def _crosscut_cut(crosscut: Crosscut) -> Hashable:
    strips = ((strip.width, tuple((b.across, b.along, b.turned) for b in strip.blanks)) for strip in crosscut.strips)
    return (crosscut.length, tuple(strips))
