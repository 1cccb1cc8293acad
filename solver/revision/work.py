"""What is cut by now: the events of the bench, laid over the plan they speak of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from solver.errors import ProblemError, ProblemFault
from solver.events import (
    BlankMissing,
    CrosscutCut,
    DamagedStick,
    Event,
    EverythingCut,
    Miscut,
    RailCut,
    RailMissing,
    RollFlaw,
    SpoiltBlank,
    StickCut,
)
from solver.lengths import Ticks
from solver.pieces import PinnedRail, Place
from solver.plan import CutBlank, CutRail, CutStick, Plan
from solver.problem import Problem

StickKey = tuple[str, str, int]
"""Profile, colour and number of a stick in the plan."""
CrosscutKey = tuple[str, int]
"""Mesh and number of a crosscut or roll in the plan."""


@dataclass(frozen=True, kw_only=True, slots=True)
class RailInHand:
    """A rail that is cut: as what, and from which profile and colour."""

    profile: str
    colour: str
    opening: str
    copy: int
    place: Place
    length: Ticks


@dataclass(frozen=True, kw_only=True, slots=True)
class BlankInHand:
    """A blank that is cut, upright, and how it lay on the roll."""

    mesh: str
    opening: str
    copy: int
    width: Ticks
    height: Ticks
    turned: bool = False


@dataclass(kw_only=True, slots=True)
class Work:
    """What is cut: ``cut`` maps each begun stick to its cut rails by place in saw order, with their true lengths.

    ``loose_rails`` are (profile, colour, length) of miscuts, ``loose_blanks``
    (mesh, across, along) of spoilt cloth. ``damaged`` gives the sound lengths of
    a stick's uncut rest, ``flaws`` the (start, length) in a roll's uncut rest.
    """

    rails: list[RailInHand] = field(default_factory=list)
    blanks: list[BlankInHand] = field(default_factory=list)
    loose_rails: list[tuple[str, str, Ticks]] = field(default_factory=list)
    loose_blanks: list[tuple[str, Ticks, Ticks]] = field(default_factory=list)
    cut: dict[StickKey, dict[int, Ticks]] = field(default_factory=lambda: defaultdict(dict))
    crosscuts: set[CrosscutKey] = field(default_factory=set)
    damaged: dict[StickKey, tuple[Ticks, ...]] = field(default_factory=dict)
    flaws: dict[CrosscutKey, list[tuple[Ticks, Ticks]]] = field(default_factory=lambda: defaultdict(list))


def work_done(problem: Problem, plan: Plan, events: Sequence[Event]) -> Work:
    """Return what is cut after these events; what was pinned before is among it.

    Raises
    ------
    ProblemError
        If an event names what is not in the plan, or cannot have happened.
    """
    floor = _Floor(problem, plan)
    for event in events:
        floor.note(event)
    if floor.faults:
        raise ProblemError(tuple(floor.faults))
    return floor.work()


class _Floor:
    """The bench while events are noted down; ``true`` are lengths that differ from the plan."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.plan = plan
        self.problem = problem
        self.faults: list[ProblemFault] = []
        self.screens = {screen.opening: screen for screen in plan.screens}
        self.sticks: dict[StickKey, CutStick] = {
            (group.profile, group.colour, stick.number): stick for group in plan.stick_groups for stick in group.sticks
        }
        self.at: dict[tuple[str, int, Place], list[tuple[StickKey, int]]] = defaultdict(list)
        for key, stick in self.sticks.items():
            for place, rail in enumerate(stick.rails):
                self.at[rail.opening, rail.copy, rail.place].append((key, place))
        self.blank_at: dict[tuple[str, int], CrosscutKey] = {}
        self.crosscuts: dict[CrosscutKey, list[CutBlank]] = {}
        self.rolls: set[CrosscutKey] = set()
        for mesh_group in plan.roll_groups:
            for roll in mesh_group.rolls:
                self.rolls.add((mesh_group.mesh, roll.number))
                for crosscut in roll.crosscuts:
                    blanks = [blank for strip in crosscut.strips for blank in strip.blanks]
                    self.crosscuts[mesh_group.mesh, crosscut.number] = blanks
                    for blank in blanks:
                        self.blank_at[blank.opening, blank.copy] = (mesh_group.mesh, crosscut.number)
        self.cut: dict[StickKey, dict[int, Ticks]] = defaultdict(dict)
        self.true: dict[tuple[StickKey, int], Ticks] = {}
        self.lost: set[tuple[StickKey, int]] = set()
        self.done: set[CrosscutKey] = set()
        self.spoilt: dict[tuple[str, int], tuple[Ticks, Ticks]] = {}
        self.wrong_pinned: dict[int, Ticks] = {}
        self.damaged: dict[StickKey, tuple[Ticks, ...]] = {}
        self.flaws: dict[CrosscutKey, list[tuple[Ticks, Ticks]]] = defaultdict(list)

    def note(self, event: Event) -> None:
        match event:
            case EverythingCut():
                for key in self.sticks:
                    self._stick(key)
                self.done.update(self.crosscuts)
            case StickCut():
                self._stick((event.profile, event.colour, event.number))
            case RailCut():
                self._rail(event.opening, event.copy, event.place, None)
            case Miscut():
                self._rail(event.opening, event.copy, event.place, event.length)
            case RailMissing():
                self._missing(event.opening, event.copy, event.place)
            case CrosscutCut():
                self._crosscut((event.mesh, event.number))
            case SpoiltBlank():
                self._spoilt(event)
            case BlankMissing():
                self._spoilt(SpoiltBlank(opening=event.opening, copy=event.copy))
            case DamagedStick():
                self._damaged(event)
            case RollFlaw():
                if (event.mesh, event.number) not in self.rolls:
                    self._fault(f"mesh {event.mesh}: the plan has no roll {event.number}")
                self.flaws[event.mesh, event.number].append((event.starts_at, event.length))
            case _:
                pass

    def _fault(self, message: str) -> None:
        self.faults.append(ProblemFault(source="", message=message))

    def _stick(self, key: StickKey) -> None:
        if key not in self.sticks:
            self._fault(f"{key[0]} {key[1]}: the plan has no stick {key[2]}")
            return
        for place, rail in enumerate(self.sticks[key].rails):
            self.cut[key].setdefault(place, rail.length)

    def _rail(self, opening: str, copy: int, place: Place, length: Ticks | None) -> None:
        for key, number in self.at.get((opening, copy, place), ()):
            if length is None and number in self.cut[key]:
                continue
            if (key, number) in self.true:
                continue
            self.cut[key][number] = self.sticks[key].rails[number].length if length is None else length
            if length is not None:
                self.true[key, number] = length
            return
        if length is None and (opening, copy, place) in self.at:
            return
        for number, pin in enumerate(self.problem.pinned_rails):
            if (pin.opening, pin.copy, pin.place) == (opening, copy, place) and number not in self.wrong_pinned:
                if length is not None:
                    self.wrong_pinned[number] = length
                return
        self._fault(f"{opening} copy {copy} {place.value}: the plan cuts no such rail, or it is marked already")

    def _missing(self, opening: str, copy: int, place: Place) -> None:
        """Take a rail for cut and lost: one of this plan, or one that was cut before."""
        for key, number in self.at.get((opening, copy, place), ()):
            if (key, number) not in self.true and (key, number) not in self.lost:
                self.cut[key].setdefault(number, self.sticks[key].rails[number].length)
                self.lost.add((key, number))
                return
        for number, pin in enumerate(self.problem.pinned_rails):
            if (pin.opening, pin.copy, pin.place) == (opening, copy, place) and number not in self.wrong_pinned:
                self.wrong_pinned[number] = Ticks(0)
                return
        self._fault(f"{opening} copy {copy} {place.value}: the plan cuts no such rail, or it is marked already")

    def _crosscut(self, key: CrosscutKey) -> None:
        if key not in self.crosscuts:
            self._fault(f"mesh {key[0]}: the plan has no crosscut {key[1]}")
            return
        self.done.add(key)

    def _spoilt(self, event: SpoiltBlank) -> None:
        key = (event.opening, event.copy)
        pinned = any((pin.opening, pin.copy) == key for pin in self.problem.pinned_blanks)
        if key in self.blank_at:
            self.done.add(self.blank_at[key])
        elif not pinned:
            self._fault(f"{event.opening} copy {event.copy}: the plan cuts no such blank")
        self.spoilt[key] = (event.across, event.along)

    def _damaged(self, event: DamagedStick) -> None:
        key = (event.profile, event.colour, event.number)
        if key not in self.sticks:
            self._fault(f"{event.profile} {event.colour}: the plan has no stick {event.number}")
        elif sum(event.sound) > self.sticks[key].length:
            self._fault(f"{event.profile} {event.colour} stick {event.number}: more is sound than its whole length")
        else:
            self.damaged[key] = event.sound

    def work(self) -> Work:
        """Return everything in hand by now."""
        work = Work(damaged=self.damaged, crosscuts=self.done)
        work.flaws.update(self.flaws)
        for number, pin in enumerate(self.problem.pinned_rails):
            screen = self.screens[pin.opening]
            if number in self.wrong_pinned and not self.wrong_pinned[number]:
                continue
            if number in self.wrong_pinned:
                work.loose_rails.append((screen.profile, screen.colour, self.wrong_pinned[number]))
            else:
                work.rails.append(_rail_in_hand(screen.profile, screen.colour, pin))
        for key, places in self.cut.items():
            work.cut[key] = dict(places)
            for place, length in sorted(places.items()):
                if (key, place) in self.lost:
                    continue
                if (key, place) in self.true:
                    work.loose_rails.append((key[0], key[1], length))
                else:
                    work.rails.append(_rail_in_hand(key[0], key[1], self.sticks[key].rails[place]))
        for blank_pin in self.problem.pinned_blanks:
            mesh = self.screens[blank_pin.opening].mesh
            where = (blank_pin.opening, blank_pin.copy)
            blank = BlankInHand(
                mesh=mesh,
                opening=where[0],
                copy=where[1],
                width=blank_pin.width,
                height=blank_pin.height,
                turned=blank_pin.turned,
            )
            self._blank(work, blank)
        for crosscut in sorted(self.done):
            for cut in self.crosscuts[crosscut]:
                self._blank(work, _blank_in_hand(crosscut[0], cut))
        return work

    def _blank(self, work: Work, blank: BlankInHand) -> None:
        if (blank.opening, blank.copy) not in self.spoilt:
            work.blanks.append(blank)
            return
        across, along = self.spoilt[blank.opening, blank.copy]
        if across and along:
            work.loose_blanks.append((blank.mesh, across, along))


def _rail_in_hand(profile: str, colour: str, rail: CutRail | PinnedRail) -> RailInHand:
    return RailInHand(
        profile=profile, colour=colour, opening=rail.opening, copy=rail.copy, place=rail.place, length=rail.length
    )


def _blank_in_hand(mesh: str, cut: CutBlank) -> BlankInHand:
    width, height = (cut.along, cut.across) if cut.turned else (cut.across, cut.along)
    return BlankInHand(mesh=mesh, opening=cut.opening, copy=cut.copy, width=width, height=height, turned=cut.turned)
