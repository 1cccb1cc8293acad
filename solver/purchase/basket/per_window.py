"""One kit per window: which kit makes which window, and what has to be bought beside the kits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

from solver.catalogue import Kit
from solver.lengths import Ticks
from solver.parts.offers import kit_mesh, kit_sticks
from solver.parts.rails import joint_kerf
from solver.parts.record import BasketPart, BlankPart, RailPart
from solver.plan import Screen
from solver.purchase.basket.hand import loose_by_hand


@dataclass(frozen=True, kw_only=True, slots=True)
class Made:
    """``windows`` equal windows, each from a kit of its own: bought, or one that lies on the rack.

    ``meshed`` says whether the kit's piece of mesh serves the window too.
    """

    screen: Screen
    kit: Kit
    windows: int
    bought: bool
    meshed: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class KitWindows:
    """One kit for each window that a kit can make.

    ``kits`` counts how many of each kit of the basket are bought, in step;
    ``without`` windows of all are made by no kit. ``cost`` is that of everything,
    by hand.
    """

    made: tuple[Made, ...]
    kits: tuple[int, ...]
    windows: int
    without: int
    cost: int | None


def kit_per_window(part: BasketPart) -> KitWindows:
    """Return the purchase of one kit for each window that a kit can make, largest windows first.

    A window gets the cheapest kit whose sticks can be cut into all its rails, or
    else the cheapest whose piece of mesh serves it too: whichever costs less for
    all windows. Windows that no kit makes, and all that the kits lack, are bought
    loose by hand. The cost is None if no window can be made from a kit or no way
    is found.
    """
    cheapest, meshed = _chosen(part, mesh_first=False), _chosen(part, mesh_first=True)
    if meshed.cost is not None and (cheapest.cost is None or meshed.cost < cheapest.cost):
        return meshed
    return cheapest


def _chosen(part: BasketPart, *, mesh_first: bool) -> KitWindows:
    """Return one kit for each window, from the cheapest kit up, or from the cheapest that brings its mesh."""
    rails = {(rails.profile, rails.colour): rails for rails in part.rails}
    # What lies on the rack costs nothing and goes first.
    offers = [(kit, False) for kit in part.rack]
    offers += [(kit, True) for kit in sorted(part.kits, key=lambda kit: kit.price or 0)]
    left = [kit.limit if bought else kit.on_hand for kit, bought in offers]
    made: list[Made] = []
    windows = 0
    for screen in sorted(part.screens, key=_outline, reverse=True):
        own = rails.get((screen.profile, screen.colour))
        if own is None:
            continue
        windows += screen.quantity
        copies = screen.quantity
        order = list(range(len(offers)))
        if mesh_first:
            order.sort(key=lambda number: (offers[number][1], mesh_way(offers[number][0], screen, part) is None))
        for number in order:
            kit, bought = offers[number]
            there = left[number]
            if copies and there != 0 and shared_out(kit, screen, own) is not None:
                taken = copies if there is None else min(copies, there)
                left[number] = None if there is None else there - taken
                copies -= taken
                meshed = mesh_way(kit, screen, part) is not None
                made.append(Made(screen=screen, kit=kit, windows=taken, bought=bought, meshed=meshed))
    names = Counter[str]()
    for each in made:
        names[each.kit.name] += each.windows if each.bought else 0
    counts = tuple(names[kit.name] for kit in part.kits)
    return KitWindows(
        made=tuple(made),
        kits=counts,
        windows=windows,
        without=windows - sum(each.windows for each in made),
        cost=_cost(part, counts, made) if made else None,
    )


def _outline(screen: Screen) -> int:
    return screen.frame_width + screen.frame_height


def shared_out(kit: Kit, screen: Screen, part: RailPart) -> tuple[tuple[int, int], ...] | None:
    """Return how the sticks of one kit are cut into all rails of one screen, or None if they cannot be.

    Pairs (stick, rail length), sticks numbered through the kit in the order of its lengths.
    """
    if (kit.profile, kit.colour) != (screen.profile, screen.colour):
        return None
    kerf = joint_kerf(part.rules.kerf, part.corner)
    rooms = tuple(
        offer.usable + kerf
        for offer in kit_sticks(kit, part.rules, 1, bought=True)
        for _ in range(min(offer.limit or 0, len(screen.rails)))
    )
    rails = sorted((rail.length for rail in screen.rails), reverse=True)
    sticks = _placed(tuple(length + kerf for length in rails), rooms)
    return None if sticks is None else tuple(zip(sticks, rails, strict=True))


def kit_stick_lengths(kit: Kit, screen: Screen) -> list[Ticks]:
    """Return the length of each stick that :func:`shared_out` numbers."""
    return [sticks.length for sticks in kit.sticks for _ in range(min(sticks.count, len(screen.rails)))]


@cache
def _placed(rails: tuple[int, ...], rooms: tuple[int, ...]) -> tuple[int, ...] | None:
    """Return a room for each rail, longest first, or None; a screen has a handful, so every way is tried."""
    if not rails:
        return ()
    tried = set()
    for place, room in enumerate(rooms):
        if room >= rails[0] and room not in tried:
            tried.add(room)
            rest = _placed(rails[1:], (*rooms[:place], room - rails[0], *rooms[place + 1 :]))
            if rest is not None:
                return (place, *rest)
    return None


def mesh_way(kit: Kit, screen: Screen, part: BasketPart) -> bool | None:
    """Return whether a screen's blank is turned on a kit's piece of mesh, or None if the piece does not serve it."""
    for blanks in part.blanks:
        if blanks.mesh == screen.mesh and kit.mesh is not None and kit.mesh.mesh == screen.mesh:
            rules = blanks.rules
            (piece,) = kit_mesh(kit, rules, 1, bought=True)
            ways = [(screen.blank_width, screen.blank_height, False)]
            if blanks.turns:
                ways.append((screen.blank_height, screen.blank_width, True))
            for across, along, turned in ways:
                on_table = not 0 < rules.longest_crosscut < along
                if across <= piece.usable and along + rules.crosscut_extra <= (piece.length or 0) and on_table:
                    return turned
    return None


def _cost(part: BasketPart, counts: Sequence[int], made: Sequence[Made]) -> int | None:
    kits = [(kit, count) for kit, count in zip(part.kits, counts, strict=True) if count]
    opened = [replace(kit, on_hand=count) for kit, count in kits]
    rest = replace(rest_of(part, made), rack=(*part.rack, *opened))
    loose = loose_by_hand(rest, already=frozenset(kit.supplier for kit, _ in kits))
    if loose is None:
        return None
    return loose.cost + sum((kit.price or 0) * max(count, kit.minimum) for kit, count in kits)


def rest_of(part: BasketPart, made: Iterable[Made]) -> BasketPart:
    """Return the basket with only the rails and blanks that no kit makes; kits on the rack are spoken for."""
    rails: Counter[str] = Counter()
    blanks: Counter[str] = Counter()
    for each in made:
        rails[each.screen.opening] += each.windows
        blanks[each.screen.opening] += each.windows if each.meshed else 0
    return replace(part, rails=tuple(_rest_rails(part, rails)), blanks=tuple(_rest_blanks(part, blanks)))


def _rest_rails(part: BasketPart, made: Counter[str]) -> Iterator[RailPart]:
    for rails in part.rails:
        runs = [replace(run, quantity=run.quantity - made[run.opening]) for run in rails.runs]
        left = tuple(run for run in runs if run.quantity)
        if left:
            yield replace(rails, runs=left, kits=())


def _rest_blanks(part: BasketPart, made: Counter[str]) -> Iterator[BlankPart]:
    for blanks in part.blanks:
        runs = [replace(run, quantity=run.quantity - made[run.opening]) for run in blanks.runs]
        left = tuple(run for run in runs if run.quantity)
        if left:
            yield replace(blanks, runs=left, kits=())
