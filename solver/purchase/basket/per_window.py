"""One kit per window: which kit makes which window, and what has to be bought beside the kits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

from solver.catalogue import Kit
from solver.parts.offers import kit_mesh, kit_sticks
from solver.parts.rails import joint_kerf
from solver.parts.record import BasketPart, BlankPart, RailPart
from solver.plan import Screen
from solver.purchase.basket.hand import loose_by_hand


@dataclass(frozen=True, kw_only=True, slots=True)
class KitWindows:
    """``kits`` of each kit of the basket, in step, and how many windows no kit makes; ``cost`` of everything."""

    kits: tuple[int, ...]
    windows: int
    without: int
    cost: int | None


def kit_per_window(part: BasketPart) -> KitWindows:
    """Return the purchase of one kit for each window that a kit can make, largest windows first.

    A window gets the cheapest kit whose sticks can be cut into all its rails.
    Windows that no kit makes, and all that the kits lack, are bought loose by
    hand. The cost is None if no window can be made from a kit or no way is found.
    """
    left = [kit.limit for kit in part.kits]
    counts = [0] * len(part.kits)
    made: Counter[str] = Counter()
    with_mesh: Counter[str] = Counter()
    rails = {(rails.profile, rails.colour): rails for rails in part.rails}
    windows = 0
    for screen in sorted(part.screens, key=_outline, reverse=True):
        own = rails.get((screen.profile, screen.colour))
        if own is None:
            continue
        windows += screen.quantity
        copies = screen.quantity
        for number in sorted(range(len(part.kits)), key=lambda k: (part.kits[k].price or 0, k)):
            kit = part.kits[number]
            there = left[number]
            if copies and there != 0 and makes(kit, screen, own):
                taken = copies if there is None else min(copies, there)
                left[number] = None if there is None else there - taken
                counts[number] += taken
                made[screen.opening] += taken
                with_mesh[screen.opening] += taken if _meshes(kit, screen, part) else 0
                copies -= taken
    without = windows - made.total()
    cost = _cost(part, counts, made, with_mesh) if made else None
    return KitWindows(kits=tuple(counts), windows=windows, without=without, cost=cost)


def _outline(screen: Screen) -> int:
    return screen.frame_width + screen.frame_height


def makes(kit: Kit, screen: Screen, part: RailPart) -> bool:
    """Whether the sticks of one kit can be cut into all rails of one screen."""
    if (kit.profile, kit.colour) != (screen.profile, screen.colour):
        return False
    kerf = joint_kerf(part.rules.kerf, part.corner)
    rooms = [
        offer.usable + kerf
        for offer in kit_sticks(kit, part.rules, 1, bought=True)
        for _ in range(min(offer.limit or 0, len(screen.rails)))
    ]
    return _fit(tuple(sorted((rail.length + kerf for rail in screen.rails), reverse=True)), tuple(sorted(rooms)))


@cache
def _fit(rails: tuple[int, ...], rooms: tuple[int, ...]) -> bool:
    """Whether rails, longest first, fit into rooms; a screen has a handful, so every way is tried."""
    if not rails:
        return True
    tried = set()
    for place, room in enumerate(rooms):
        if room >= rails[0] and room not in tried:
            tried.add(room)
            rest = tuple(sorted((*rooms[:place], room - rails[0], *rooms[place + 1 :])))
            if _fit(rails[1:], rest):
                return True
    return False


def _meshes(kit: Kit, screen: Screen, part: BasketPart) -> bool:
    """Whether a kit's piece of mesh is large enough for a screen, of the right cloth, and bought in this basket."""
    for blanks in part.blanks:
        if blanks.mesh == screen.mesh and kit.mesh is not None and kit.mesh.mesh == screen.mesh:
            extra = blanks.rules.crosscut_extra
            for piece in kit_mesh(kit, blanks.rules, 1, bought=True):
                ways = [(screen.blank_width, screen.blank_height)]
                if blanks.turns:
                    ways.append((screen.blank_height, screen.blank_width))
                return any(w <= piece.usable and h + extra <= (piece.length or 0) for w, h in ways)
    return False


def _cost(part: BasketPart, counts: Sequence[int], made: Counter[str], with_mesh: Counter[str]) -> int | None:
    kits = [(kit, count) for kit, count in zip(part.kits, counts, strict=True) if count]
    rest = replace(part, rails=tuple(_rest_rails(part, made)), blanks=tuple(_rest_blanks(part, with_mesh)))
    opened = [replace(kit, on_hand=count) for kit, count in kits]
    loose = loose_by_hand(replace(rest, rack=(*part.rack, *opened)), already=frozenset(kit.supplier for kit, _ in kits))
    if loose is None:
        return None
    return loose + sum((kit.price or 0) * max(count, kit.minimum) for kit, count in kits)


def _rest_rails(part: BasketPart, made: Counter[str]) -> Iterator[RailPart]:
    for rails in part.rails:
        runs = [replace(run, quantity=run.quantity - made[run.opening]) for run in rails.runs]
        left = tuple(run for run in runs if run.quantity)
        if left:
            yield replace(rails, runs=left)


def _rest_blanks(part: BasketPart, made: Counter[str]) -> Iterator[BlankPart]:
    for blanks in part.blanks:
        runs = [replace(run, quantity=run.quantity - made[run.opening]) for run in blanks.runs]
        left = tuple(run for run in runs if run.quantity)
        if left:
            yield replace(blanks, runs=left)
