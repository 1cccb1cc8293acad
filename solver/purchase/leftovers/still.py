"""The screens that the leftovers of a plan would still make."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence

from solver.catalogue import Corner, Hardware
from solver.lengths import Ticks
from solver.parts.rails import joint_kerf
from solver.plan import KitUse, Need, PurchaseLine, RollGroup, Screen, StickGroup, StillPossible
from solver.problem import Problem
from solver.purchase.leftovers.copies import copies_from_mesh, copies_from_sticks
from solver.purchase.leftovers.largest import largest_frame
from solver.purchase.leftovers.remains import Remains, remains
from solver.rules import Turning
from solver.sizing.hardware import mounting_needs

COMMON_SIZES = 5
"""How many of a job's sizes are looked at, the most frequent first."""


def still_possible(
    problem: Problem,
    screens: Sequence[Screen],
    stick_groups: Iterable[StickGroup],
    roll_groups: Iterable[RollGroup],
    kits: Iterable[KitUse],
    lines: Iterable[PurchaseLine],
) -> Iterator[StillPossible]:
    """Yield the largest screen of each profile, colour and mesh, then how many more of the job's common sizes.

    Every line stands for itself; hardware that the leftovers lack is listed with
    it. Sizes of which not one can be built are left out.
    """
    left = remains(problem, stick_groups, roll_groups, kits, lines)
    sorts: dict[tuple[str, str, str], Screen] = {}
    for screen in screens:
        sorts.setdefault((screen.profile, screen.colour, screen.mesh), screen)
    for screen in sorts.values():
        yield from _largest(problem, screen, left)
    sizes: Counter[tuple[str, str, str, Ticks, Ticks]] = Counter()
    samples: dict[tuple[str, str, str, Ticks, Ticks], Screen] = {}
    for screen in screens:
        size = (screen.profile, screen.colour, screen.mesh, screen.frame_width, screen.frame_height)
        sizes[size] += screen.quantity
        samples.setdefault(size, screen)
    common = sorted(sizes, key=lambda size: (-sizes[size], -size[3] * size[4], size))[:COMMON_SIZES]
    for size in common:
        count = _copies(problem, samples[size], left)
        if count:
            yield _possible(samples[size], samples[size].needs, count, left, largest=False)


def _corner(problem: Problem, screen: Screen) -> tuple[int, int]:
    """Return what one saw cut takes and how much shorter than its side a rail is."""
    profile = next(profile for profile in problem.catalogue.profiles if profile.name == screen.profile)
    corners = 2 * profile.corner_leg if profile.corner is Corner.SQUARE else 0
    return joint_kerf(problem.rules.kerf, profile.corner), corners


def _turns(problem: Problem, screen: Screen) -> bool:
    return any(mesh.name == screen.mesh and mesh.turning is not Turning.NEVER for mesh in problem.catalogue.meshes)


def _copies(problem: Problem, screen: Screen, left: Remains) -> int:
    blanks = copies_from_mesh(
        screen.blank_width,
        screen.blank_height,
        left.mesh[screen.mesh],
        problem.rules.crosscut_extra,
        turns=_turns(problem, screen),
    )
    if not blanks:
        return 0
    rails: Counter[int] = Counter(rail.length for rail in screen.rails)
    kerf, _ = _corner(problem, screen)
    return min(blanks, copies_from_sticks(rails, left.sticks[screen.profile, screen.colour], kerf))


def _largest(problem: Problem, screen: Screen, left: Remains) -> Iterator[StillPossible]:
    kerf, corners = _corner(problem, screen)
    found = largest_frame(
        left.sticks[screen.profile, screen.colour],
        left.mesh[screen.mesh],
        kerf=kerf,
        corners=corners,
        turns=_turns(problem, screen),
        rules=problem.rules,
    )
    if found is None:
        return
    opening = next(opening for opening in problem.openings if opening.label == screen.opening)
    rules = problem.rules_of(opening)
    mounting = mounting_needs(opening.mounting, found[0], found[1], opening.deepest_side, rules)
    own = {need.hardware for need in mounting_needs(opening.mounting, *_frame(screen), opening.deepest_side, rules)}
    outline = 2 * sum(found)
    spline = -(-outline * (1_000 + rules.spline_extra) // 1_000)
    needs = [need for need in screen.needs if need.hardware not in own | {Hardware.SPLINE, Hardware.BAR_CLIP}]
    needs += mounting
    needs += [
        Need(hardware=need.hardware, amount=spline, fits=need.fits, place=need.place)
        for need in screen.needs
        if need.hardware is Hardware.SPLINE
    ]
    yield _possible(screen, needs, 1, left, largest=True, frame=found)


def _frame(screen: Screen) -> tuple[Ticks, Ticks]:
    return screen.frame_width, screen.frame_height


def _possible(
    screen: Screen,
    needs: Iterable[Need],
    count: int,
    left: Remains,
    *,
    largest: bool,
    frame: tuple[Ticks, Ticks] | None = None,
) -> StillPossible:
    width, height = frame or _frame(screen)
    wanted: dict[tuple[Hardware, str], int] = defaultdict(int)
    for need in needs:
        wanted[need.hardware, need.fits] += need.amount * count
    missing = []
    anything = Counter({hardware: left.hardware[hardware, ""] for hardware, _ in wanted})
    for (hardware, fits), amount in wanted.items():
        own = left.hardware[hardware, fits] if fits else 0
        lacking = max(0, amount - own)
        from_any = min(lacking, anything[hardware])
        anything[hardware] -= from_any
        if lacking > from_any:
            missing.append(Need(hardware=hardware, amount=lacking - from_any, fits=fits))
    return StillPossible(
        profile=screen.profile,
        colour=screen.colour,
        mesh=screen.mesh,
        frame_width=width,
        frame_height=height,
        count=count,
        largest=largest,
        missing=tuple(missing),
    )
