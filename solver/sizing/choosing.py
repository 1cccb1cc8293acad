"""Colour, mesh, profile and spline of an opening: as named if they are stocked, or as its slot asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from solver.catalogue import Mesh, Profile
from solver.frames import Shelf
from solver.lengths import Ticks
from solver.openings import Mounting, Opening
from solver.plan import Kind
from solver.rules import Rules
from solver.sizing.remarks import Fault, Remark

HELD_IN_A_CHANNEL = {Mounting.SPRINGS, Mounting.LEAVES, Mounting.PINS, Mounting.SLIDING}


@dataclass(frozen=True, slots=True)
class Choice:
    """What was chosen, how (``line``, empty where the row said so), and what to know about it."""

    profile: Profile
    line: str
    remark: Remark | None = None


def named(names: Iterable[str]) -> str:
    """Return known names as a list in words."""
    return ", ".join(names) or "none"


def chosen_colour(name: str, shelf: Shelf) -> str | Fault:
    """Return the stocked colour a row means."""
    colour = shelf.colour(name)
    if colour is not None:
        return colour
    if not name:
        return Fault("colour", f"no colour is given; write one that sticks come in: {named(shelf.colours)}")
    return Fault(
        "colour", f"no stick comes in colour {name}; write one of {named(shelf.colours)}, or add sticks in {name}"
    )


def chosen_mesh(name: str, shelf: Shelf) -> Mesh | Fault:
    """Return the stocked mesh a row means."""
    mesh = shelf.mesh(name)
    if mesh is None and not name:
        return Fault("mesh", f"no mesh is given; write one that rolls come in: {named(shelf.mesh_names)}")
    if mesh is None:
        return Fault("mesh", f"mesh {name} is not known; write one of {named(shelf.mesh_names)}, or add it with a roll")
    if mesh.name not in shelf.rolls:
        return Fault("mesh", f"no roll holds mesh {mesh.name}; add a roll, or write one of {named(shelf.mesh_names)}")
    return mesh


def chosen_profile(
    opening: Opening, colour: str, shelf: Shelf, rules: Rules, words: Mapping[int, str]
) -> Choice | Fault:
    """Return the profile a row names, or the thickest its slot takes, or the usual one.

    References
    ----------
    Thickest no thicker than slot minus play: common practice, no source.
    """
    if opening.profile is not None:
        return _named_profile(opening.profile, colour, shelf)
    if opening.slot_width is not None:
        return _slot_profile(opening.slot_width, colour, shelf, rules, words)
    return _usual_profile(opening, colour, shelf, rules, words)


def _named_profile(name: str, colour: str, shelf: Shelf) -> Choice | Fault:
    profile = shelf.profile(name)
    if profile is None:
        known = named(shelf.profile_names)
        return Fault("profile", f"profile {name} is not known; write one of {known}, or leave it to the slot width")
    if (profile.name, colour) not in shelf.sticks:
        others = named(other.name for other in shelf.profiles_in(colour))
        return Fault(
            "profile",
            f"no stick of profile {profile.name} comes in {colour} (it comes in: "
            f"{named(shelf.colours_of(profile.name))}); add one, change the colour, or write one of {others}",
        )
    return Choice(profile, "")


def _slot_profile(slot: Ticks, colour: str, shelf: Shelf, rules: Rules, words: Mapping[int, str]) -> Choice | Fault:
    profile = shelf.profile_for(slot, rules.slot_play, colour)
    sum_words = f"slot {words[slot]} - {words[rules.slot_play]} play = {words[slot - rules.slot_play]}"
    if profile is not None:
        return Choice(profile, f"profile: {sum_words}; the thickest that fits in {colour} is {profile.name}")
    thinnest = min(shelf.profiles_in(colour), key=lambda each: each.thickness)
    return Fault(
        "slot_width",
        f"no profile in {colour} fits: {sum_words} and the thinnest, {thinnest.name}, is {words[thinnest.thickness]}; "
        f"a slot of {words[thinnest.thickness + rules.slot_play]} or more takes it; measure again, "
        "or add a thinner profile with sticks",
    )


def _usual_profile(
    opening: Opening, colour: str, shelf: Shelf, rules: Rules, words: Mapping[int, str]
) -> Choice | Fault:
    """Without slot and name nothing tells the profile but the shop's habit, and the plan says so."""
    stocked = shelf.profiles_in(colour)
    usual = [profile for profile in stocked if profile.thickness == rules.usual_thickness]
    if not usual and len(stocked) > 1:
        return Fault(
            "profile",
            f"neither profile nor slot width is given and the usual {words[rules.usual_thickness]} profile does not "
            f"come in {colour}; write the slot width, or one of {named(profile.name for profile in stocked)}",
        )
    profile = usual[0] if usual else stocked[0]
    measured = (
        "measure a slot before cutting" if opening.mounting in HELD_IN_A_CHANNEL else "say so if another is wanted"
    )
    return Choice(
        profile,
        f"profile: neither profile nor slot width given; {profile.name} taken",
        Remark(
            Kind.REVIEW if opening.mounting in HELD_IN_A_CHANNEL else Kind.NOTICE,
            "profile",
            f"Neither profile nor slot width is given; profile {profile.name} is taken. Please {measured}.",
        ),
    )
