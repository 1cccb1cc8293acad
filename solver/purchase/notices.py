"""What a person should know about the prices of a plan, and about stock that serves nothing in it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from solver.catalogue import RollStock, StickStock
from solver.lengths import Ticks
from solver.plan import Kind, Notice, PurchaseLine, Screen
from solver.problem import Problem
from solver.rules import Turning


def purchase_notices(problem: Problem, screens: Sequence[Screen], lines: Iterable[PurchaseLine]) -> Iterator[Notice]:
    """Yield what is bought without a price, kits that cannot be compared without one, and stock too small for all."""
    lines = list(lines)
    names = [line.stock or line.what for line in lines if line.price is None and line.buy]
    if names and any(line.price is not None for line in lines):
        yield Notice(
            kind=Kind.NOTICE,
            topic="price",
            message=f"no price is known for {', '.join(names)}; the total leaves it out",
        )
    unpriced = [kit.name for kit in problem.catalogue.kits if kit.on_sale and kit.price is None and not kit.on_hand]
    if unpriced:
        yield Notice(
            kind=Kind.NOTICE,
            topic="price",
            message=f"no price is known for {', '.join(unpriced)}; without one it is not compared with loose stock",
        )
    small = [f"{_named(each.stock)} {each.words}" for each in too_small(problem, screens)]
    if small:
        yield Notice(kind=Kind.NOTICE, topic="stock", message=f"listed and of no use in this job: {'; '.join(small)}")


@dataclass(frozen=True, kw_only=True, slots=True)
class TooSmall:
    """Stock that holds no piece of a job: ``words`` say so, ``wanted`` is the least size that would be of use."""

    stock: StickStock | RollStock
    words: str
    wanted: Ticks


@dataclass(frozen=True, kw_only=True, slots=True)
class Unlisted:
    """A profile or mesh that stock names and the job does not list: that stock cannot be used, and is left out.

    ``stock`` are the names of that stock, as (kind of stock, name).
    """

    name: str
    is_mesh: bool
    stock: tuple[tuple[str, str], ...]


def unlisted(problem: Problem) -> Iterator[Unlisted]:
    """Yield the profiles, then the meshes, that only stock names: most often another spelling of one that is listed."""
    catalogue = problem.catalogue
    of_profile: dict[str, list[tuple[str, str]]] = defaultdict(list)
    of_mesh: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for stick in catalogue.sticks:
        if not stick.leftover:
            of_profile[stick.profile].append(("sticks", stick.name))
    for roll in catalogue.rolls:
        if not roll.leftover:
            of_mesh[roll.mesh].append(("rolls", roll.name))
    for kit in catalogue.kits:
        of_profile[kit.profile].append(("kits", kit.name))
        if kit.mesh is not None:
            of_mesh[kit.mesh.mesh].append(("kits", kit.name))
    profiles = {profile.name for profile in catalogue.profiles}
    meshes = {mesh.name for mesh in catalogue.meshes}
    for name in sorted(of_profile.keys() - profiles):
        yield Unlisted(name=name, is_mesh=False, stock=tuple(of_profile[name]))
    for name in sorted(of_mesh.keys() - meshes):
        yield Unlisted(name=name, is_mesh=True, stock=tuple(of_mesh[name]))


def too_small(problem: Problem, screens: Sequence[Screen]) -> Iterator[TooSmall]:
    """Yield the sticks that are shorter than every rail of theirs, and the rolls that are narrower than every blank."""
    yield from _short_sticks(problem, screens)
    yield from _narrow_rolls(problem, screens)


def _short_sticks(problem: Problem, screens: Iterable[Screen]) -> Iterator[TooSmall]:
    rails: dict[tuple[str, str], set[int]] = defaultdict(set)
    for screen in screens:
        rails[screen.profile, screen.colour].update(rail.length for rail in screen.rails)
    for stick in problem.catalogue.sticks:
        own = rails.get((stick.profile, stick.colour))
        usable = stick.usable_length(problem.rules.end_trim)
        if own and not stick.leftover and usable < min(own):
            yield TooSmall(
                stock=stick,
                words=f"is shorter than every rail of {stick.profile} {stick.colour}".rstrip(),
                wanted=Ticks(stick.length + min(own) - usable),
            )


def _narrow_rolls(problem: Problem, screens: Iterable[Screen]) -> Iterator[TooSmall]:
    turns = {mesh.name for mesh in problem.catalogue.meshes if mesh.turning is not Turning.NEVER}
    widths: dict[str, set[int]] = defaultdict(set)
    for screen in screens:
        sides = (screen.blank_width, screen.blank_height)
        widths[screen.mesh].add(min(sides) if screen.mesh in turns else sides[0])
    for roll in problem.catalogue.rolls:
        own = widths.get(roll.mesh)
        usable = roll.usable_width(problem.rules.selvage_trim)
        if own and not roll.leftover and usable < min(own):
            yield TooSmall(
                stock=roll,
                words=f"is narrower than every blank of {roll.mesh}",
                wanted=Ticks(roll.width + min(own) - usable),
            )


def _named(stock: StickStock | RollStock) -> str:
    return f"{stock.source}: {stock.name}" if stock.source else stock.name
