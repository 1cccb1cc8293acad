"""Do the frame and its pieces exist: corners, sticks and rolls that take them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solver.catalogue import Corner, Mesh, Profile
from solver.frames import FrameSide, Shelf
from solver.lengths import Ticks
from solver.rules import Rules, Turning
from solver.sizing.remarks import Fault


def corner_fault(name: str, side: FrameSide, profile: Profile, words: Mapping[int, str]) -> Fault | None:
    """Return a fault if a side of the frame does not hold its two corners and two faces."""
    corner = profile.corner_leg if profile.corner is Corner.SQUARE else profile.face
    needed = 2 * max(corner, profile.face)
    if side.size > needed:
        return None
    return Fault(
        f"{name}s",
        f"the frame {name} comes to {words[side.size]} ({side.line}) and profile {profile.name} needs over "
        f"{words[needed]} for its corners; measure the {name} again and write it with its unit",
    )


def stick_fault(
    field: str,
    what: str,
    length: Ticks,
    profile: Profile,
    colour: str,
    shelf: Shelf,
    end_trim: Ticks,
    words: Mapping[int, str],
) -> Fault | None:
    """Return a fault if no stick on sale or on hand is long enough for a rail."""
    longest = shelf.longest_stick(profile.name, colour)
    usable = longest.usable_length(end_trim) if longest is not None else Ticks(0)
    if length <= usable or longest is None:
        return None
    return Fault(
        field,
        f"the {what} of {words[length]} is longer than every stick of {profile.name} in {colour}: the longest, "
        f"{longest.name}, gives {words[usable]} of its {words[longest.length]} after trimming; "
        f"a stick of {words[length + 2 * end_trim]} would do",
    )


def roll_faults(
    mesh: Mesh, width: Ticks, height: Ticks, shelf: Shelf, rules: Rules, words: Mapping[int, str]
) -> Iterator[Fault]:
    """Yield a fault if no roll on sale or on hand takes a mesh blank."""
    if shelf.roll_takes(mesh, width, height):
        return
    widest = max(shelf.rolls[mesh.name], key=lambda roll: roll.width)
    usable = widest.usable_width(rules.selvage_trim)
    turns = mesh.turning is not Turning.NEVER
    across = min(width, height) if turns else width
    along = max(width, height) if turns else height
    turned = "turned or not" if turns else "and this mesh must not be turned"
    table = f"; the table takes crosscuts of {words[rules.longest_crosscut]}" if rules.longest_crosscut else ""
    yield Fault(
        "widths" if across == width else "heights",
        f"the mesh blank of {words[width]} x {words[height]} fits no roll of {mesh.name}, {turned}: the widest, "
        f"{widest.name}, gives {words[usable]} of its {words[widest.width]} between the selvages{table}; "
        f"a roll {words[across + 2 * rules.selvage_trim]} wide with {words[along + rules.crosscut_extra]} on it "
        "would do",
    )
