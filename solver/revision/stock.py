"""The stock after purchases and cuts: bought is on the rack, cut is gone, what is left comes back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from solver.catalogue import Catalogue, Kit, KitHardware, Pack, RollStock, StickStock
from solver.errors import ProblemError, ProblemFault
from solver.events import Event, HardwareMissing, NotThere
from solver.handed_over import HandedOver
from solver.lengths import Ticks
from solver.plan import Crosscut, CutRail, CutRoll, CutStick, Plan, StickGroup
from solver.problem import Problem
from solver.revision.deliveries import Deliveries
from solver.revision.handing_over import HandedRests, struck
from solver.revision.leftover_names import RollRack, StickRack
from solver.revision.work import Work

Stock = TypeVar("Stock", StickStock, RollStock, Pack, Kit)


@dataclass(frozen=True, kw_only=True, slots=True)
class StandingStick:
    """What is planned and uncut on one stick: where it lies now, and the number the stick had."""

    profile: str
    colour: str
    number: int
    stock: str
    length: Ticks
    rails: tuple[CutRail, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class StandingRoll:
    """What is planned and uncut on one roll: where it lies now, and the number the roll had."""

    mesh: str
    number: int
    stock: str
    width: Ticks
    length: Ticks
    crosscuts: tuple[Crosscut, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Rack:
    """The stock lists as they are now, and every planned cut that is open and possible.

    ``sticks`` and ``rolls`` are those whose stock is on hand, ``wanting`` the
    sticks whose stock did not come, ``struck`` the handed over pieces that lay there.
    """

    catalogue: Catalogue
    sticks: tuple[StandingStick, ...]
    rolls: tuple[StandingRoll, ...]
    wanting: tuple[StandingStick, ...]
    struck: tuple[HandedOver, ...] = ()


def rack_now(
    problem: Problem,
    plan: Plan,
    work: Work,
    came: Deliveries,
    events: Iterable[Event] = (),
    handed_over: Iterable[HandedOver] = (),
) -> Rack:
    """Return the stock after what came, what was not there or got lost, what was cut, and what was handed over.

    Raises
    ------
    ProblemError
        If more is cut than came, or a stick is too short for what is said to be cut from it.
    """
    handed_over = tuple(handed_over)
    changing = _Rack(problem, plan, work, came, HandedRests(handed_over))
    changing.open_kits()
    changing.take_in()
    for event in events:
        if isinstance(event, NotThere):
            changing.not_there(event)
        elif isinstance(event, HardwareMissing):
            changing.hardware_missing(event)
    changing.cut_sticks()
    changing.cut_rolls()
    if changing.faults:
        raise ProblemError(tuple(changing.faults))
    catalogue = replace(
        problem.catalogue,
        sticks=changing.sticks.listed(),
        rolls=changing.rolls.listed(),
        packs=tuple(changing.packs.values()),
        kits=tuple(changing.kits.values()),
    )
    rests = changing.handed.found
    catalogue, gone = struck(catalogue, (piece for piece in handed_over if piece not in rests))
    left = Counter({stick.name: stick.on_hand for stick in catalogue.sticks})
    with_stock: list[StandingStick] = []
    wanting: list[StandingStick] = []
    for stick in changing.standing_sticks:
        left[stick.stock] -= 1
        (with_stock if left[stick.stock] >= 0 else wanting).append(stick)
    rolls_left = Counter({roll.name: roll.on_hand for roll in catalogue.rolls})
    rolls = []
    for roll in changing.standing_rolls:
        rolls_left[roll.stock] -= 1
        if rolls_left[roll.stock] >= 0:
            rolls.append(roll)
    return Rack(
        catalogue=catalogue,
        sticks=tuple(with_stock),
        rolls=tuple(rolls),
        wanting=tuple(wanting),
        struck=(*rests, *gone),
    )


def _less(stock: Stock, bought: int, *, gone: bool) -> Stock:
    """Return stock of which so many were bought: a limit counts what is bought in the whole job."""
    if gone:
        return replace(stock, limit=0)
    if stock.limit is None:
        return stock
    limit = max(0, stock.limit - bought)
    return replace(stock, limit=0 if limit < stock.minimum else limit)


class _Rack:
    def __init__(self, problem: Problem, plan: Plan, work: Work, came: Deliveries, handed: HandedRests) -> None:
        self.handed = handed
        self.problem, self.plan, self.work, self.came = problem, plan, work, came
        self.sticks = StickRack(problem.catalogue.sticks, problem.unit)
        self.rolls = RollRack(problem.catalogue.rolls, problem.unit)
        self.packs = {pack.name: pack for pack in problem.catalogue.packs}
        self.kits = {kit.name: kit for kit in problem.catalogue.kits}
        self.kit_sticks: dict[tuple[str, Ticks], str] = {}
        self.kit_rolls: dict[str, str] = {}
        self.standing_sticks: list[StandingStick] = []
        self.standing_rolls: list[StandingRoll] = []
        self.running: dict[str, Ticks] = {}
        self.faults: list[ProblemFault] = []

    def fault(self, message: str) -> None:
        self.faults.append(ProblemFault(source="", message=message))

    def open_kits(self) -> None:
        """Lay the contents of every kit that the plan opens on the rack, loose."""
        for use in self.plan.kits:
            kit = self.kits[use.kit]
            came = self.came.kits[use.kit]
            opened = use.on_hand + min(use.buy, came)
            spare = kit.on_hand - use.on_hand + max(0, came - use.buy)
            self.kits[use.kit] = _less(replace(kit, on_hand=spare), came, gone=use.kit in self.came.gone)
            for content in kit.sticks:
                if opened:
                    name = self.sticks.add(
                        kit.profile, kit.colour, content.length, content.count * opened, leftover=False
                    )
                    self.kit_sticks[kit.name, content.length] = name
            if kit.mesh is not None and opened:
                self.kit_rolls[kit.name] = self.rolls.add(
                    kit.mesh.mesh, kit.mesh.width, kit.mesh.length, kit.mesh.count * opened
                )
            for hardware in kit.hardware:
                if opened:
                    self._loose(hardware, opened)

    def _loose(self, content: KitHardware, kits: int) -> None:
        name = f"loose {content.hardware.value} {content.fits}".strip()
        none = Pack(name=name, hardware=content.hardware, fits=content.fits, size=1, on_sale=False)
        there = self.packs.get(name, none)
        self.packs[name] = replace(there, on_hand=there.on_hand + content.amount * kits)

    def take_in(self) -> None:
        """Lay what was bought on the rack; what was bought can be bought no more where there is a limit."""
        gone = self.came.gone
        for stick in self.problem.catalogue.sticks:
            came = self.came.sticks[stick.name]
            more = replace(self.sticks.named(stick.name), on_hand=self.sticks.named(stick.name).on_hand + came)
            self.sticks.put(_less(more, came, gone=stick.name in gone))
        for roll in self.problem.catalogue.rolls:
            came = self.came.rolls[roll.name]
            if roll.step is not None:
                self.running[roll.name] = Ticks(came * roll.step)
                self.rolls.put(_less(roll, came, gone=roll.name in gone))
            else:
                here = self.rolls.named(roll.name)
                self.rolls.put(_less(replace(here, on_hand=here.on_hand + came), came, gone=roll.name in gone))
        for pack in self.problem.catalogue.packs:
            came = self.came.packs[pack.name]
            more_packs = replace(pack, on_hand=self.packs[pack.name].on_hand + came * pack.size)
            self.packs[pack.name] = _less(more_packs, came, gone=pack.name in gone)
        for (hardware, fits), amount in self.came.unlisted.items():
            name = f"{hardware.value} {fits}".strip()
            here_pack = self.packs.get(name, Pack(name=name, hardware=hardware, fits=fits, size=1))
            self.packs[name] = replace(here_pack, on_hand=here_pack.on_hand + amount)

    def not_there(self, event: NotThere) -> None:
        """Strike listed stock that nobody finds."""
        if self.sticks.has(event.stock):
            self.sticks.put(self._struck(self.sticks.named(event.stock), event.missing))
        elif self.rolls.has(event.stock):
            self.rolls.put(self._struck(self.rolls.named(event.stock), event.missing))
        elif event.stock in self.packs:
            self.packs[event.stock] = self._struck(self.packs[event.stock], event.missing)
        elif event.stock in self.kits:
            self.kits[event.stock] = self._struck(self.kits[event.stock], event.missing)
        else:
            self.fault(f"{event.stock}: no stock of that name is listed")

    def _struck(self, stock: Stock, missing: int) -> Stock:
        if stock.on_hand < missing:
            self.fault(f"{stock.name}: {missing} are said not to be there, but only {stock.on_hand} are on hand")
            return stock
        return replace(stock, on_hand=stock.on_hand - missing)

    def hardware_missing(self, event: HardwareMissing) -> None:
        """Take hardware for a second time: what a bag lacked must come from somewhere."""
        needs = [need for s in self.plan.screens if s.opening == event.opening for need in s.needs]
        fits = next((need.fits for need in needs if need.hardware is event.hardware), None)
        if fits is None:
            self.fault(f"{event.opening}: its screen has no {event.hardware.value}")
            return
        missing = event.amount
        for name, pack in self.packs.items():
            if (pack.hardware, pack.fits) == (event.hardware, fits) and missing:
                taken = min(missing, pack.on_hand)
                self.packs[name] = replace(pack, on_hand=pack.on_hand - taken)
                missing -= taken
        if missing:
            self.fault(f"{event.opening}: fewer of {event.hardware.value} were ever on hand than are missing")

    def cut_sticks(self) -> None:
        """Take cut and damaged sticks off the rack and lay what is left of them on it."""
        for group in self.plan.stick_groups:
            for stick in group.sticks:
                self._stick(group, stick)

    def _stick(self, group: StickGroup, stick: CutStick) -> None:
        key = (group.profile, group.colour, stick.number)
        done = self.work.cut.get(key, {})
        name = self.kit_sticks.get((stick.stock, stick.length), "") if stick.from_kit else stick.stock
        rest = tuple(rail for place, rail in enumerate(stick.rails) if place not in done)
        where = f"{group.profile} {group.colour} stick {stick.number}".strip()
        if not done and key not in self.work.damaged:
            self._stand(group, stick, name, stick.length, rest)
            return
        try:
            stock = self.sticks.named(name)
        except KeyError:
            self.fault(f"{where}: it is marked as cut, but none of {stick.stock} came")
            return
        if not stock.on_hand:
            self.fault(f"{where}: it is marked as cut, but fewer of {stick.stock} came than are cut")
            return
        self.sticks.put(replace(stock, on_hand=stock.on_hand - 1))
        trim = self.problem.rules.end_trim
        left = stick.length - (0 if stock.leftover else trim)
        left -= sum(length + group.joint_kerf for length in done.values())
        far_trim = 0 if stock.both_ends_clean else trim
        if left + (group.joint_kerf if done else 0) < far_trim:
            self.fault(f"{where}: the rails said to be cut are longer than the stick; measure the miscut again")
            return
        if not rest and self.handed.has(*key):
            return
        if key in self.work.damaged:
            for sound in self.work.damaged[key]:
                self._lay(group, sound)
            return
        if left > 0:
            clean = stock.both_ends_clean
            back = self._lay(group, Ticks(left), both_ends_clean=clean)
            self._stand(group, stick, back, Ticks(left), rest)

    def _lay(self, group: StickGroup, length: Ticks, *, both_ends_clean: bool = False) -> str:
        return self.sticks.add(group.profile, group.colour, length, 1, leftover=True, both_ends_clean=both_ends_clean)

    def _stand(self, group: StickGroup, stick: CutStick, name: str, length: Ticks, rest: tuple[CutRail, ...]) -> None:
        """Note what is planned on this piece and uncut, if it still fits: a miscut may have taken too much."""
        if not rest or not name:
            return
        stock = self.sticks.named(name)
        usable = stock.usable_length(self.problem.rules.end_trim)
        if sum(rail.length + group.joint_kerf for rail in rest) <= usable + group.joint_kerf:
            self.standing_sticks.append(
                StandingStick(
                    profile=group.profile,
                    colour=group.colour,
                    number=stick.number,
                    stock=name,
                    length=length,
                    rails=rest,
                )
            )

    def cut_rolls(self) -> None:
        """Take begun rolls off the rack and lay what is left of them on it, side strips too."""
        for group in self.plan.roll_groups:
            for roll in group.rolls:
                self._roll(group.mesh, roll)
        for name, length in self.running.items():
            if length:
                stock = self.rolls.named(name)
                self.rolls.add(stock.mesh, stock.width, length, 1)

    def _roll(self, mesh: str, roll: CutRoll) -> None:
        extra = self.problem.rules.crosscut_extra
        done = [cut for cut in roll.crosscuts if (mesh, cut.number) in self.work.crosscuts]
        rest = tuple(cut for cut in roll.crosscuts if (mesh, cut.number) not in self.work.crosscuts)
        flaws = self.work.flaws.get((mesh, roll.number), [])
        name = self.kit_rolls.get(roll.stock, "") if roll.from_kit else roll.stock
        spent = sum(cut.length + extra for cut in done)
        if roll.length is None:
            whole = self.running.pop(name, Ticks(0))
            if spent > whole:
                self.fault(f"mesh {mesh} roll {roll.number}: more of {name} is cut than came")
                return
        elif not done and not flaws:
            if name:
                self._stand_roll(mesh, roll, name, roll.length, rest)
            return
        else:
            stock = self.rolls.named(name) if name else None
            if stock is None or not stock.on_hand:
                self.fault(f"mesh {mesh} roll {roll.number}: more of {roll.stock} is cut than came")
                return
            self.rolls.put(replace(stock, on_hand=stock.on_hand - 1))
            whole = roll.length
        for cut in done:
            if not self.handed.has(mesh, "", roll.number, cut.number):
                self._side_strip(mesh, roll, cut)
        if not rest and self.handed.has(mesh, "", roll.number):
            return
        self._lay_rolls(mesh, roll, _sound_lengths(Ticks(whole - spent), flaws), rest)

    def _lay_rolls(self, mesh: str, roll: CutRoll, sound: Sequence[Ticks], rest: tuple[Crosscut, ...]) -> None:
        """Lay the sound lengths of a roll on the rack; crosscuts stand, in order, on the first that holds them."""
        extra = self.problem.rules.crosscut_extra
        open_cuts = list(rest)
        for length in sound:
            if length <= 0:
                continue
            name = self.rolls.add(mesh, roll.width, length, 1)
            room, stand = length, []
            for cut in list(open_cuts):
                if cut.length + extra <= room:
                    room = Ticks(room - cut.length - extra)
                    stand.append(cut)
                    open_cuts.remove(cut)
            self._stand_roll(mesh, roll, name, length, tuple(stand))

    def _side_strip(self, mesh: str, roll: CutRoll, cut: Crosscut) -> None:
        rules = self.problem.rules
        width = Ticks(roll.width - rules.selvage_trim - sum(strip.width for strip in cut.strips))
        if width >= max(1, rules.useful_mesh_width) and cut.length >= max(1, rules.useful_mesh_length):
            self.rolls.add(mesh, width, cut.length, 1)

    def _stand_roll(self, mesh: str, roll: CutRoll, name: str, length: Ticks, rest: tuple[Crosscut, ...]) -> None:
        if rest:
            self.standing_rolls.append(
                StandingRoll(mesh=mesh, number=roll.number, stock=name, width=roll.width, length=length, crosscuts=rest)
            )


def _sound_lengths(length: Ticks, flaws: Iterable[tuple[Ticks, Ticks]]) -> list[Ticks]:
    """Return the lengths between flaws, from the free end on.

    Examples
    --------
    >>> _sound_lengths(Ticks(100), [(Ticks(20), Ticks(5)), (Ticks(90), Ticks(30))])
    [20, 65]
    """
    sound, at = [], 0
    for start, long in sorted(flaws):
        if start > at:
            sound.append(Ticks(min(start, length) - at))
        at = max(at, min(length, start + long))
    return [piece for piece in (*sound, Ticks(length - at)) if piece > 0]
