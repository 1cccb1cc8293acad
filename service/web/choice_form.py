"""Choices to compare, as a form: each row that is filled in becomes one choice in the words of ``what-if``."""

from __future__ import annotations

from collections.abc import Mapping


class ChoiceFormError(ValueError):
    """A form that asks nothing, or not clearly; the message says what to write."""


def choices_of(form: Mapping[str, str]) -> dict[str, str]:
    """Return the choices of a form by the names they are shown under.

    Raises
    ------
    ChoiceFormError
        If nothing is chosen, or a row is half filled in.

    Examples
    --------
    >>> choices_of({"turned": "yes", "spares": "5"})
    {'mesh turned': 'turned', '5 % spare hardware': 'spares=5'}
    """
    said = {name: text.strip() for name, text in form.items()}
    choices: dict[str, str] = {}
    if said.get("stick.length"):
        parts = [said.get(f"stick.{name}", "") for name in ("profile", "colour", "length", "price")]
        if not parts[0]:
            raise ChoiceFormError("Another stick length: its profile is missing.")
        choices[f"sticks of {parts[2]}"] = f"stick={','.join(parts if parts[3] else parts[:3])}"
    for word, name in (("profile", "profile"), ("colour", "colour"), ("mesh", "mesh"), ("without", "without")):
        if said.get(word):
            choices[f"{name} {said[word]}"] = f"{word}={said[word]}"
    if said.get("turned"):
        choices["mesh turned"] = "turned"
    if said.get("corner") == "mitred":
        choices["mitred corners"] = "corner=mitred"
    elif said.get("corner") == "square":
        leg = said.get("leg") or "3/4"
        choices[f"square corners, leg {leg}"] = f"corner=square,{leg}"
    if said.get("spares"):
        choices[f"{said['spares']} % spare hardware"] = f"spares={said['spares']}"
    if said.get("phases"):
        choices["phase by phase"] = "phases"
    for line in said.get("own", "").splitlines():
        name, colon, words = line.partition(":")
        if line.strip() and not (colon and words.strip()):
            raise ChoiceFormError(f"{line.strip()}: write a name, a colon and what changes")
        if line.strip():
            choices[name.strip()] = words.strip()
    if not choices:
        raise ChoiceFormError("Choose at least one thing to compare.")
    if any(";" in words for name, words in choices.items() if name in ("colour", "mesh", "profile")):
        raise ChoiceFormError("A name cannot hold a semicolon.")
    return choices


def due_dates(text: str) -> dict[str, str]:
    """Return due dates by order.

    Examples
    --------
    >>> due_dates("S-4103 = 2026-12-01")
    {'S-4103': '2026-12-01'}
    """
    due = {}
    for line in text.splitlines():
        order, sign, day = line.rpartition("=")
        if not line.strip():
            continue
        if not sign or not order.strip() or not day.strip():
            raise ChoiceFormError(f"{line.strip()}: write for example S-4103 = 2026-12-01")
        due[order.strip()] = day.strip()
    return due


def whole_number(text: str, what: str, default: int) -> int:
    """Return a whole number of 0 or more, the default where nothing is written."""
    if not text.strip():
        return default
    if not (text.strip().isascii() and text.strip().isdecimal() and len(text.strip()) < 8):
        raise ChoiceFormError(f"{what} {text.strip()!r}: write a whole number")
    return int(text.strip())
