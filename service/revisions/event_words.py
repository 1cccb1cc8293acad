"""Events in the shop's words: one row of a sheet, or one JSON object, to one event.

A row names what happened and fills in only what that needs. A ``code`` is as
scanned, or the label of a piece as printed; ``group`` names profile and colour,
or the mesh, as the plan does::

    event         needs
    stick cut     profile, colour, number
    rail cut      code (as scanned), or opening, copy, place
    crosscut cut  mesh, number
    everything cut
    miscut        code, or opening, copy, place; length as measured
    spoilt blank  code, or opening, copy; width and length left of it, across and along the roll
    damaged stick profile, colour, number; sound: lengths that are still good, by semicolon
    roll flaw     mesh, number; starts at, length
    remeasured    opening; width, height (several readings by semicolon)
    change order  opening; quantity, profile, colour or mesh
    cancelled     opening
    added         opening; like (an opening of the job); width, height, quantity
    short delivery  stock; missing, and gone: yes if no more can be had
    not there     stock, as listed on hand; missing: how many, 1 if empty
    missing part  code, or opening, copy, place (a place of the frame, or mesh);
                  or opening and part (a word such as corner); quantity, or length of what is cut to length
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from service.documents.pieces import MESH
from service.documents.plan_index import PlanIndex
from service.sheets.word_cells import MOST
from solver.catalogue import Hardware
from solver.errors import RecordError
from solver.events import (
    Added,
    BlankMissing,
    Cancelled,
    ChangeOrder,
    CrosscutCut,
    DamagedStick,
    Event,
    EverythingCut,
    HardwareMissing,
    Miscut,
    NotThere,
    RailCut,
    RailMissing,
    Remeasured,
    RollFlaw,
    ShortDelivery,
    SpoiltBlank,
    StickCut,
)
from solver.lengths import Ticks
from solver.notation import Understood, read_length
from solver.plan import Place
from solver.revision.record import Revision

COLUMNS = (
    "event", "code", "opening", "copy", "place", "group", "profile", "colour", "mesh", "number", "length", "width",
    "height", "starts at", "sound", "quantity", "like", "stock", "missing", "gone", "part", "note",
)  # fmt: skip

Row = Mapping[str, str]


class EventReader:
    """Reads events that speak of one revision; bare numbers are in the job's unit."""

    def __init__(self, revision: Revision) -> None:
        self._revision = revision
        self._unit = revision.problem.unit.value
        self._openings = {opening.label: opening for opening in revision.problem.openings}
        index = PlanIndex(revision.problem, revision.plan)
        self._codes: dict[str, tuple[str, int, Place | None]] = {}
        self._labels: dict[str, tuple[str, int, Place | None]] = {}
        for screen in revision.plan.screens:
            for copy in range(1, screen.quantity + 1):
                for place in (None, *{rail.place for rail in screen.rails}):
                    self._codes[index.code(screen.opening, copy, place)] = (screen.opening, copy, place)
                    self._labels[index.label(screen.opening, copy, place).casefold()] = (screen.opening, copy, place)

    def event(self, row: Row) -> Event:
        """Return the event of a row.

        Raises
        ------
        RecordError
            If the row says no event, or not all that it needs; the message says what to write.
        """
        word = " ".join(row.get("event", "").lower().split())
        if word not in _READERS:
            raise RecordError(f"{word or 'no event'}: write one of {', '.join(_READERS)}")
        return _READERS[word](self, row)

    def text(self, row: Row, column: str) -> str:
        """Return a cell that must not be empty."""
        value = row.get(column, "").strip()
        if not value:
            raise RecordError(f"{row.get('event', '')}: {column} is missing")
        return value

    def number(self, row: Row, column: str, default: int | None = None) -> int:
        """Return a whole number."""
        value = row.get(column, "").strip()
        if not value and default is not None:
            return default
        if not re.fullmatch(r"[0-9]{1,9}(\.0+)?", value):
            raise RecordError(f"{column} is {value or 'missing'}; write a whole number")
        count = int(value.partition(".")[0])
        if count > MOST:
            raise RecordError(f"{column} {value} is too many; write at most {MOST}")
        return count

    def length(self, row: Row, column: str) -> Ticks:
        """Return a length."""
        return self._length(self.text(row, column), column)

    def lengths(self, row: Row, column: str) -> tuple[Ticks, ...]:
        """Return lengths parted by semicolons."""
        return tuple(self._length(text, column) for text in self.text(row, column).split(";"))

    def _length(self, text: str, column: str) -> Ticks:
        result = read_length(text.strip(), unit=self._unit)
        if not isinstance(result, Understood):
            raise RecordError(f"{column} {text}: {getattr(result, 'message', 'this is no length')}")
        return result.length

    def piece(self, row: Row) -> tuple[str, int, Place | None]:
        """Return the piece a row speaks of, by its code or by name; None stands for the mesh blank."""
        said = " ".join(row.get("code", "").split())
        if said:
            code = said.upper().rpartition("-")[2]
            found = self._codes.get(code) or self._labels.get(said.casefold())
            if found is None:
                raise RecordError(f"{said}: no piece of this revision has that code or label")
            return found
        word = row.get("place", "").strip().lower()
        word = "" if word == MESH else word
        place = next((place for place in Place if place.value == word), None)
        if word and place is None:
            raise RecordError(f"place {word}: write one of {', '.join(place.value for place in Place)}")
        return self.opening(row), self.number(row, "copy", 1), place

    def rail(self, row: Row) -> tuple[str, int, Place]:
        """Return the rail a row speaks of."""
        opening, copy, place = self.piece(row)
        if place is None:
            raise RecordError(f"{row.get('event', '')}: name the place of the rail, such as left")
        return opening, copy, place

    def opening(self, row: Row) -> str:
        """Return the label of an opening of the job."""
        label = self.text(row, "opening")
        if label not in self._openings:
            raise RecordError(f"{label}: the job has no such opening")
        return label

    def amount_of(self, row: Row) -> int:
        """Return how much of some stock is missing: a count, or a length of what is cut to length."""
        name, text = self.text(row, "stock"), row.get("missing", "").strip()
        packs = {pack.name: pack.hardware for pack in self._revision.problem.catalogue.packs}
        if name in packs and packs[name].by_length:
            return self._length(text, "missing")
        return self.number(row, "missing", 1)

    def hardware(self, word: str) -> Hardware:
        """Return the hardware of that name, with or without an s at its end."""
        for hardware in Hardware:
            if word in (hardware.value, f"{hardware.value}s"):
                return hardware
        raise RecordError(f"part {word}: write one of {', '.join(hardware.value for hardware in Hardware)}")

    def stick(self, row: Row) -> tuple[str, str, int]:
        """Return the profile, colour and number of a stick; what the job has only one of need not be said."""
        groups = [(group.profile, group.colour) for group in self._revision.plan.stick_groups]
        named = [group for group in groups if _same_words(row.get("group", ""), " ".join(("rails", *group)))]
        if len(named) == 1:
            return (*named[0], self.number(row, "number"))
        fitting = [
            group
            for group in groups
            if row.get("profile", "").strip() in ("", group[0]) and row.get("colour", "").strip() in ("", group[1])
        ]
        if len(fitting) != 1:
            raise RecordError("say profile and colour of the stick as the plan does")
        return (*fitting[0], self.number(row, "number"))

    def mesh(self, row: Row) -> str:
        """Return the mesh; where the job has only one it need not be said."""
        meshes = [group.mesh for group in self._revision.plan.roll_groups]
        said = row.get("mesh", "").strip() or row.get("group", "").strip().removeprefix("mesh").strip()
        fitting = [mesh for mesh in meshes if said in ("", mesh)]
        if len(fitting) != 1:
            raise RecordError("say the mesh as the plan does")
        return fitting[0]

    def added(self, row: Row) -> Added:
        """Return a new opening, made like one of the job."""
        like = self.text(row, "like")
        if like not in self._openings:
            raise RecordError(f"like {like}: the job has no such opening")
        model = self._openings[like]
        opening = replace(
            model,
            label=self.text(row, "opening"),
            quantity=self.number(row, "quantity", 1),
            widths=self.lengths(row, "width") if row.get("width", "").strip() else model.widths,
            heights=self.lengths(row, "height") if row.get("height", "").strip() else model.heights,
            diagonals=None,
        )
        return Added(opening=opening)


def _same_words(text: str, other: str) -> bool:
    return " ".join(text.split()) == " ".join(other.split())


def _stick_cut(read: EventReader, row: Row) -> Event:
    profile, colour, number = read.stick(row)
    return StickCut(profile=profile, colour=colour, number=number)


def _rail_cut(read: EventReader, row: Row) -> Event:
    opening, copy, place = read.rail(row)
    return RailCut(opening=opening, copy=copy, place=place)


def _crosscut_cut(read: EventReader, row: Row) -> Event:
    return CrosscutCut(mesh=read.mesh(row), number=read.number(row, "number"))


def _everything_cut(read: EventReader, row: Row) -> Event:
    del read, row
    return EverythingCut()


def _miscut(read: EventReader, row: Row) -> Event:
    opening, copy, place = read.rail(row)
    return Miscut(opening=opening, copy=copy, place=place, length=read.length(row, "length"))


def _spoilt_blank(read: EventReader, row: Row) -> Event:
    opening, copy, _ = read.piece(row)
    if not row.get("width", "").strip():
        return SpoiltBlank(opening=opening, copy=copy)
    return SpoiltBlank(opening=opening, copy=copy, across=read.length(row, "width"), along=read.length(row, "length"))


def _damaged_stick(read: EventReader, row: Row) -> Event:
    profile, colour, number = read.stick(row)
    sound = read.lengths(row, "sound") if row.get("sound", "").strip() else ()
    return DamagedStick(profile=profile, colour=colour, number=number, sound=sound)


def _roll_flaw(read: EventReader, row: Row) -> Event:
    return RollFlaw(
        mesh=read.mesh(row),
        number=read.number(row, "number"),
        starts_at=read.length(row, "starts at"),
        length=read.length(row, "length"),
    )


def _remeasured(read: EventReader, row: Row) -> Event:
    return Remeasured(opening=read.opening(row), widths=read.lengths(row, "width"), heights=read.lengths(row, "height"))


def _change_order(read: EventReader, row: Row) -> Event:
    said = {column: row.get(column, "").strip() or None for column in ("profile", "colour", "mesh")}
    quantity = read.number(row, "quantity") if row.get("quantity", "").strip() else None
    if quantity is None and not any(said.values()):
        raise RecordError("change order: say the new quantity, profile, colour or mesh")
    return ChangeOrder(opening=read.opening(row), quantity=quantity, **said)


def _cancelled(read: EventReader, row: Row) -> Event:
    return Cancelled(opening=read.opening(row))


def _added(read: EventReader, row: Row) -> Event:
    return read.added(row)


def _not_there(read: EventReader, row: Row) -> Event:
    return NotThere(stock=read.text(row, "stock"), missing=read.amount_of(row))


def _missing_part(read: EventReader, row: Row) -> Event:
    word = " ".join(row.get("part", "").lower().split())
    if word and word not in (MESH, *(place.value for place in Place)):
        hardware = read.hardware(word)
        opening = read.opening(row)
        if hardware.by_length:
            return HardwareMissing(opening=opening, hardware=hardware, amount=read.length(row, "length"))
        return HardwareMissing(opening=opening, hardware=hardware, amount=read.number(row, "quantity", 1))
    opening, copy, place = read.piece({**row, "place": word or row.get("place", "")})
    if place is None:
        if not (word or row.get("place", "").strip() or row.get("code", "").strip()):
            raise RecordError("missing part: name its part, such as corner, or its place, such as left or mesh")
        return BlankMissing(opening=opening, copy=copy)
    return RailMissing(opening=opening, copy=copy, place=place)


def _short_delivery(read: EventReader, row: Row) -> Event:
    gone = row.get("gone", "").strip().lower() in ("yes", "true", "x")
    return ShortDelivery(stock=read.text(row, "stock"), missing=read.number(row, "missing", 0), gone=gone)


_READERS: dict[str, Callable[[EventReader, Row], Event]] = {
    "stick cut": _stick_cut,
    "rail cut": _rail_cut,
    "crosscut cut": _crosscut_cut,
    "everything cut": _everything_cut,
    "miscut": _miscut,
    "spoilt blank": _spoilt_blank,
    "damaged stick": _damaged_stick,
    "roll flaw": _roll_flaw,
    "remeasured": _remeasured,
    "change order": _change_order,
    "cancelled": _cancelled,
    "added": _added,
    "short delivery": _short_delivery,
    "not there": _not_there,
    "missing part": _missing_part,
}
WORDS = tuple(_READERS)
"""Every event a row may say."""
