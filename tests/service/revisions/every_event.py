"""Every row of the table of events, for a job of two windows: as a line of words and as fields of the page's form."""

from __future__ import annotations

from tests.service.small_job import Sheets, small_sheets

Fields = dict[str, str]

SHEETS: Sheets = small_sheets(bronze=True) | {
    "rolls": [
        {"name": "48", "mesh": "glass 18x16", "width": "48", "length": "100 ft", "price": 60},
        {"name": "48 pet", "mesh": "pet cloth", "width": "48", "length": "100 ft", "price": 90},
    ],
    "leftovers": [{"name": "bay 3", "profile": "5/16", "colour": "white", "length": "46 1/4"}],
}

EVERY_EVENT: dict[str, tuple[Fields, Fields]] = {
    "cut as planned": (
        {"event": "stick cut", "group": "rails 5/16 white", "number": "1"},
        {"cut.numbers.rails 5/16 white": "1"},
    ),
    "mesh cut as planned": (
        {"event": "crosscut cut", "group": "mesh glass 18x16", "number": "1"},
        {"cut.numbers.mesh glass 18x16": "1"},
    ),
    "scanned as cut": ({"event": "rail cut", "code": "1.1.T"}, {"cut.codes": "1.1.T"}),
    "everything cut": ({"event": "everything cut"}, {"cut.everything": "yes"}),
    "miscut short": (
        {"event": "miscut", "code": "A-2 left", "length": "40 1/2"},
        {"miscut.code": "A-2 left", "miscut.length": "40 1/2"},
    ),
    "damaged stick": (
        {"event": "damaged stick", "group": "rails 5/16 white", "number": "1", "sound": "35; 5"},
        {
            "damaged stick.group": "rails 5/16 white",
            "damaged stick.number": "1",
            "damaged stick.sound": "35; 5",
        },
    ),
    "roll flaw": (
        {"event": "roll flaw", "group": "mesh glass 18x16", "number": "1", "starts at": "10", "length": "3"},
        {
            "roll flaw.group": "mesh glass 18x16",
            "roll flaw.number": "1",
            "roll flaw.starts at": "10",
            "roll flaw.length": "3",
        },
    ),
    "spoilt blank": (
        {"event": "spoilt blank", "code": "A-1 mesh", "width": "20", "length": "30"},
        {"spoilt blank.code": "A-1 mesh", "spoilt blank.width": "20", "spoilt blank.length": "30"},
    ),
    "listed leftover not there": (
        {"event": "not there", "stock": "bay 3"},
        {"not there.stock": "bay 3"},
    ),
    "short delivery": (
        {"event": "short delivery", "stock": "8 ft", "missing": "1"},
        {"short delivery.stock": "8 ft", "short delivery.missing": "1"},
    ),
    "mis-measured": (
        {"event": "remeasured", "opening": "A-1", "width": "33 1/4; 33 3/8", "height": "49"},
        {"remeasured.opening": "A-1", "remeasured.width": "33 1/4; 33 3/8", "remeasured.height": "49"},
    ),
    "change of quantity": (
        {"event": "change order", "opening": "A-1", "quantity": "2"},
        {"change order.opening": "A-1", "change order.quantity": "2"},
    ),
    "change of colour": (
        {"event": "change order", "opening": "A-1", "colour": "bronze"},
        {"change order.opening": "A-1", "change order.colour": "bronze"},
    ),
    "change of mesh": (
        {"event": "change order", "opening": "A-1", "mesh": "pet cloth"},
        {"change order.opening": "A-1", "change order.mesh": "pet cloth"},
    ),
    "cancelled unit": ({"event": "cancelled", "opening": "A-1"}, {"cancelled.opening": "A-1"}),
    "one more opening": (
        {"event": "added", "opening": "A-3", "like": "A-1", "width": "30"},
        {"added.opening": "A-3", "added.like": "A-1", "added.width": "30"},
    ),
    "short shipment, a rail": (
        {"event": "missing part", "code": "A-1 left"},
        {"missing part.code": "A-1 left"},
    ),
    "short shipment, a bag": (
        {"event": "missing part", "opening": "A-1", "part": "corner", "quantity": "2"},
        {"missing part.opening": "A-1", "missing part.part": "corner", "missing part.quantity": "2"},
    ),
}
