"""What happened in the shop, as a form: its fields become events, noted one after the other until they are sent."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence

Event = dict[str, str]

_MOST_NUMBERS = 5_000
_NUMBERS = re.compile(r"([0-9]{1,7})(?:\s*(?:-|–|to)\s*([0-9]{1,7}))?")

FIELDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "miscut": (("code", "length"), ()),
    "spoilt blank": (("code",), ("width", "length")),
    "damaged stick": (("group", "number"), ("sound",)),
    "roll flaw": (("group", "number", "starts at", "length"), ()),
    "not there": (("stock",), ("missing",)),
    "short delivery": (("stock",), ("missing", "gone")),
    "remeasured": (("opening", "width", "height"), ()),
    "change order": (("opening",), ("quantity", "profile", "colour", "mesh")),
    "added": (("opening", "like"), ("width", "height", "quantity")),
}
"""The fields each event of the form needs, and those it may have; ``group`` alone says nothing."""

_SILENT = {"group", "gone"}
"""Fields that always say something, such as a choice, and so do not show that a row was filled in."""


class EventFormError(ValueError):
    """A row that lacks something; the message says what to write."""


def noted(form: Mapping[str, str], carried: Sequence[str]) -> list[Event]:
    """Return every event of a form: those noted before, then those just filled in.

    Raises
    ------
    EventFormError
        If a row is only half filled in, or numbers make no sense.
    """
    events = [dict(json.loads(text)) for text in carried]
    drop = form.get("drop", "")
    if drop.isdecimal() and int(drop) < len(events):
        del events[int(drop)]
    events += _cut(form)
    for word, (needed, optional) in FIELDS.items():
        said = {name: form.get(f"{word}.{name}", "").strip() for name in (*needed, *optional)}
        if not any(text for name, text in said.items() if name not in _SILENT):
            continue
        missing = [name for name in needed if not said[name]]
        if missing:
            raise EventFormError(f"{word}: {' and '.join(missing)} missing")
        events.append({"event": word} | {name: text for name, text in said.items() if text})
    events += _cancelled(form)
    events += _missing_parts(form)
    return events


def _cut(form: Mapping[str, str]) -> Iterator[Event]:
    if form.get("cut.everything"):
        yield {"event": "everything cut"}
    for name, text in form.items():
        if name.startswith("cut.numbers.") and text.strip():
            group = name.removeprefix("cut.numbers.")
            word = "crosscut cut" if group.startswith("mesh") else "stick cut"
            for number in numbers_of(text):
                yield {"event": word, "group": group, "number": str(number)}
    for code in form.get("cut.codes", "").split("\n"):
        if code.strip():
            yield {"event": "rail cut", "code": code.strip()}


def _cancelled(form: Mapping[str, str]) -> Iterator[Event]:
    for label in form.get("cancelled.opening", "").split("\n"):
        if label.strip():
            yield {"event": "cancelled", "opening": label.strip()}


def _missing_parts(form: Mapping[str, str]) -> Iterator[Event]:
    said = {name: form.get(f"missing part.{name}", "").strip() for name in ("code", "opening", "part", "quantity")}
    if said["code"]:
        yield {"event": "missing part", "code": said["code"]}
    if said["opening"] or said["quantity"]:
        if not (said["opening"] and said["part"]):
            raise EventFormError("missing part: opening and part missing")
        event = {"event": "missing part", "opening": said["opening"], "part": said["part"]}
        # What is cut to length, such as spline, has a length where others have a count.
        amount = {"quantity": said["quantity"]} if said["quantity"].isdecimal() else {"length": said["quantity"]}
        yield event | (amount if said["quantity"] else {})


def numbers_of(text: str) -> list[int]:
    """Return the numbers that a text names.

    Raises
    ------
    EventFormError
        If it names none, or far too many.

    Examples
    --------
    >>> numbers_of("1-3, 7"), numbers_of("4 to 5")
    ([1, 2, 3, 7], [4, 5])
    """
    numbers: list[int] = []
    for part in text.split(","):
        read = _NUMBERS.fullmatch(part.strip())
        if read is None:
            raise EventFormError(f"numbers {text.strip()!r}: write for example 1-4, 7")
        first, last = int(read[1]), int(read[2] or read[1])
        if last < first or last - first > _MOST_NUMBERS:
            raise EventFormError(f"numbers {part.strip()!r}: write the smaller number first, 5,000 at most")
        numbers += range(first, last + 1)
    return numbers


def shown(events: Sequence[Event]) -> list[tuple[str, str]]:
    """Return each event in words, and as the text that carries it on.

    Examples
    --------
    >>> shown([{"event": "miscut", "code": "A-1 left", "length": "40"}])[0][0]
    'miscut: A-1 left, length 40'
    """
    return [(_words(event), json.dumps(event, ensure_ascii=False)) for event in events]


def _words(event: Event) -> str:
    bare = {"code", "opening", "group", "stock"}
    said = [text if name in bare else f"{name} {text}" for name, text in event.items() if name != "event"]
    return f"{event['event']}: {', '.join(said)}" if said else event["event"]


def runs_text(numbers: list[int]) -> str:
    """Return numbers as a text, those in a row together.

    Examples
    --------
    >>> runs_text([1, 2, 3, 7])
    '1 to 3, 7'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first} to {last}" for first, last in runs)
