"""Openings as they were read: sizes with what they were measured from, place and wishes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from solver.errors import RecordError
from solver.lengths import Ticks
from solver.rules import Rules


class Counts(Enum):
    """Which of several readings of one side counts."""

    SMALLEST = "smallest"
    LARGEST = "largest"
    AS_READ = "as read"


class Datum(Enum):
    """What a reading was measured from and to; it decides the deduction."""

    CHANNEL_BOTTOMS = "channel bottoms"
    """Channel bottom to channel bottom, a full pocket."""
    CHANNEL_LIPS = "channel lips"
    """Clear between the lips of the side channels."""
    DEEP_CHANNEL = "deep channel"
    """Bottom of the deep channel to the edge of the opposite lip (lift-in)."""
    FACE = "face"
    """The clear opening, screened from outside on its face."""
    STOPS = "stops"
    """Stop to stop, fitted inside."""
    OLD_SCREEN = "old screen"
    """An existing screen, tip to tip."""
    FINISHED = "finished size"
    """The frame size wanted; everything is already deducted."""

    @property
    def counts(self) -> Counts:
        """Which reading counts: the narrowest place of a channel, the widest of an opening covered on its face.

        References
        ----------
        Common practice, no source.
        """
        return _COUNTS.get(self, Counts.SMALLEST)

    @property
    def in_channel(self) -> bool:
        """Whether the reading was taken in the channel that will hold the screen."""
        return self in {Datum.CHANNEL_BOTTOMS, Datum.CHANNEL_LIPS, Datum.DEEP_CHANNEL}


_COUNTS = {Datum.FACE: Counts.LARGEST, Datum.OLD_SCREEN: Counts.AS_READ, Datum.FINISHED: Counts.AS_READ}


class Mounting(Enum):
    """How the finished screen is held."""

    SPRINGS = "tension springs"
    LEAVES = "leaf springs"
    PINS = "plunger pins"
    CLIPS = "face clips"
    SLIDING = "sliding"
    MAGNETS = "magnetic strip"


class Side(Enum):
    """A side of the screen, as seen from inside the room."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"

    @property
    def opposite(self) -> Side:
        """The side across."""
        return _OPPOSITE[self]


_OPPOSITE = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT, Side.TOP: Side.BOTTOM, Side.BOTTOM: Side.TOP}


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """One opening, or a type of opening with a quantity.

    ``widths`` and ``heights`` are the readings in the order taken, one or more;
    which of them counts depends on the datum. ``profile`` is the name of a
    profile, or None to choose one from ``slot_width``. ``rules`` are the rules
    that hold for this opening alone, or None for the job's. ``window_type`` names
    the kind of window: openings of one type check each other. ``source`` names
    the sheet row, such as ``openings!7``; ``cells`` maps a field name to its
    cell where the two differ in use, such as ``("widths", "openings!C7")``.
    """

    label: str
    widths: tuple[Ticks, ...]
    heights: tuple[Ticks, ...]
    quantity: int = 1
    diagonals: tuple[Ticks, Ticks] | None = None
    width_datum: Datum = Datum.CHANNEL_BOTTOMS
    height_datum: Datum = Datum.CHANNEL_BOTTOMS
    mounting: Mounting = Mounting.SPRINGS
    slot_width: Ticks | None = None
    channel_depth: Ticks | None = None
    deepest_side: Side = Side.TOP
    profile: str | None = None
    colour: str = ""
    mesh: str = ""
    order: str = ""
    phase: str = ""
    building: str = ""
    facade: str = ""
    floor: str = ""
    unit: str = ""
    room: str = ""
    escape: bool = False
    sill_height: Ticks | None = None
    drop_outside: Ticks | None = None
    built_year: int | None = None
    note: str = ""
    window_type: str = ""
    rules: Rules | None = None
    source: str = ""
    cells: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        """Refuse an opening that cannot exist."""
        if not self.label:
            raise RecordError("an opening needs a label")
        if self.quantity < 1:
            raise RecordError(f"{self.label}: quantity {self.quantity}; write 1 or more")
        for name, readings in (("width", self.widths), ("height", self.heights)):
            if not readings or min(readings) <= 0:
                raise RecordError(f"{self.label}: a {name} reading must be over 0")

    def where(self, name: str) -> str:
        """Return the cell that holds a field, or the row when it is not known."""
        return dict(self.cells).get(name, self.source)


@dataclass(frozen=True, kw_only=True, slots=True)
class Parked:
    """A row set aside to be measured again: what is known of its place, and every reason.

    ``read`` is what stands in its size cells, as written. ``source`` names the
    sheet row, such as ``openings!7``; ``reasons`` are texts as the office reads
    them, each with the cell it is about.
    """

    label: str
    quantity: int = 1
    building: str = ""
    floor: str = ""
    unit: str = ""
    room: str = ""
    order: str = ""
    phase: str = ""
    read: str = ""
    source: str = ""
    reasons: tuple[str, ...] = ()
