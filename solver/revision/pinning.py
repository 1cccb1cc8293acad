"""Which cut pieces stay with their screens, which serve another, and which are spare."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from solver.lengths import Ticks
from solver.pieces import PinnedBlank, PinnedRail
from solver.plan import Place, Screen
from solver.revision.work import Work


@dataclass(frozen=True, kw_only=True, slots=True)
class Moved:
    """A piece that serves another screen than the one it was cut for; ``was`` is empty for a miscut."""

    opening: str
    copy: int
    place: Place | None
    was: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Pinning:
    """The pinned pieces, those of them that moved, and the spare ones.

    ``spare_rails`` are (profile, colour, length), ``spare_blanks``
    (mesh, across, along) as they lay on the roll.
    """

    rails: tuple[PinnedRail, ...]
    blanks: tuple[PinnedBlank, ...]
    moved: tuple[Moved, ...]
    spare_rails: tuple[tuple[str, str, Ticks], ...]
    spare_blanks: tuple[tuple[str, Ticks, Ticks], ...]


def pinning(work: Work, screens: Sequence[Screen], facades: Mapping[tuple[str, str], str]) -> Pinning:
    """Return what stays, what moves and what is spare.

    ``facades`` gives the facade of (mesh, opening) where the mesh lies one way by
    facade: there a blank serves another opening only if it lay as that facade does.

    A piece stays with its screen where that still wants it. A piece nobody
    claims serves any open piece of exactly its profile, colour and length: no
    plan can use it better, because whatever else would be cut from it can be
    cut from the place that the open piece leaves free.
    """
    rails = _rails(work, screens)
    blanks = _blanks(work, screens, facades)
    return Pinning(
        rails=rails[0], blanks=blanks[0], moved=(*rails[1], *blanks[1]), spare_rails=rails[2], spare_blanks=blanks[2]
    )


def _rails(
    work: Work, screens: Sequence[Screen]
) -> tuple[tuple[PinnedRail, ...], tuple[Moved, ...], tuple[tuple[str, str, Ticks], ...]]:
    wanted: Counter[tuple[str, str, str, int, Place, Ticks]] = Counter()
    for screen in screens:
        for copy in range(1, screen.quantity + 1):
            for rail in screen.rails:
                wanted[screen.profile, screen.colour, screen.opening, copy, rail.place, rail.length] += 1
    pinned: list[PinnedRail] = []
    loose: dict[tuple[str, str, Ticks], deque[str]] = defaultdict(deque)
    for cut in work.rails:
        key = (cut.profile, cut.colour, cut.opening, cut.copy, cut.place, cut.length)
        if wanted[key] > 0:
            wanted[key] -= 1
            pinned.append(PinnedRail(opening=cut.opening, copy=cut.copy, place=cut.place, length=cut.length))
        else:
            loose[cut.profile, cut.colour, cut.length].append(f"{cut.opening} {cut.copy} {cut.place.value}")
    for sort in work.loose_rails:
        loose[sort].append("")
    moved = []
    for (profile, colour, opening, copy, place, length), count in wanted.items():
        queue = loose.get((profile, colour, length), deque())
        for _ in range(min(count, len(queue))):
            pinned.append(PinnedRail(opening=opening, copy=copy, place=place, length=length))
            moved.append(Moved(opening=opening, copy=copy, place=place, was=queue.popleft()))
    spare = tuple(sort for sort, queue in loose.items() for _ in queue)
    return tuple(pinned), tuple(moved), spare


def _blanks(
    work: Work, screens: Sequence[Screen], facades: Mapping[tuple[str, str], str]
) -> tuple[tuple[PinnedBlank, ...], tuple[Moved, ...], tuple[tuple[str, Ticks, Ticks], ...]]:
    wanted: dict[tuple[str, int], tuple[str, Ticks, Ticks]] = {}
    for screen in screens:
        for copy in range(1, screen.quantity + 1):
            wanted[screen.opening, copy] = (screen.mesh, screen.blank_width, screen.blank_height)
    pinned: list[PinnedBlank] = []
    ways: dict[tuple[str, str], bool] = {}
    loose: dict[tuple[str, Ticks, Ticks], deque[tuple[str, bool]]] = defaultdict(deque)
    for cut in work.blanks:
        where, size = (cut.opening, cut.copy), (cut.mesh, cut.width, cut.height)
        if wanted.get(where) == size:
            del wanted[where]
            pinned.append(
                PinnedBlank(opening=cut.opening, copy=cut.copy, width=cut.width, height=cut.height, turned=cut.turned)
            )
            if facade := facades.get((cut.mesh, cut.opening)):
                ways.setdefault((cut.mesh, facade), cut.turned)
        else:
            loose[size].append((f"{cut.opening} {cut.copy} mesh", cut.turned))
    moved = []
    for (opening, copy), size in wanted.items():
        queue = loose.get(size, deque())
        facade = facades.get((size[0], opening))
        way = None if facade is None else ways.get((size[0], facade))
        fitting = next((piece for piece in queue if way is None or piece[1] == way), None)
        if fitting is not None:
            queue.remove(fitting)
            was, turned = fitting
            if facade is not None:
                ways[size[0], facade] = turned
            pinned.append(PinnedBlank(opening=opening, copy=copy, width=size[1], height=size[2], turned=turned))
            moved.append(Moved(opening=opening, copy=copy, place=None, was=was))
    spare = [
        (mesh, height, width) if turned else (mesh, width, height)
        for (mesh, width, height), queue in loose.items()
        for _, turned in queue
    ]
    return tuple(pinned), tuple(moved), (*spare, *work.loose_blanks)
