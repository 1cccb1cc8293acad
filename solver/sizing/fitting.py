"""Does the screen go in and stay in: profile against slot, overlap and spring against channel depth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solver.catalogue import Profile
from solver.frames import SPRUNG, FrameSide, needed_depth, over_review_size
from solver.lengths import Ticks
from solver.openings import Datum, Mounting, Opening, Side
from solver.plan import Kind
from solver.rules import Rules
from solver.sizing.remarks import Remark


def slot_remarks(opening: Opening, profile: Profile, rules: Rules, words: Mapping[int, str]) -> Iterator[Remark]:
    """Yield what to look at where a row names a profile that its slot does not take."""
    slot = opening.slot_width
    if opening.profile is None or slot is None or profile.thickness <= slot - rules.slot_play:
        return
    yield Remark(
        Kind.REVIEW,
        "slot",
        f"The profile named, {profile.name}, is {words[profile.thickness]} thick and the slot is {words[slot]}: "
        f"less than {words[rules.slot_play]} play. Measure the slot again, or choose a thinner profile.",
    )


def mounting_remarks(opening: Opening) -> Iterator[Remark]:
    """Yield where what was measured and how the screen is held do not go together.

    References
    ----------
    Geometry: springs push against a channel, and a face has none.
    """
    if opening.mounting in SPRUNG and Datum.FACE in {opening.width_datum, opening.height_datum}:
        yield Remark(
            Kind.REVIEW,
            "mounting",
            f"Measured for a screen on the face of the opening, but held by {opening.mounting.value}, which push "
            "against a channel. Face clips or a magnetic strip hold it there; or write what was measured from what.",
        )
    upright = opening.deepest_side in {Side.TOP, Side.BOTTOM}
    if Datum.DEEP_CHANNEL is (opening.width_datum if upright else opening.height_datum):
        axis = "width" if upright else "height"
        yield Remark(
            Kind.REVIEW,
            "deepest side",
            f"The {axis} was measured from the deep channel, but the deepest side is given as "
            f"{opening.deepest_side.value}: springs and tabs would go on the wrong sides. Write the deepest "
            "side, as seen from inside.",
        )


def review_remarks(profile: Profile, width: Ticks, height: Ticks, words: Mapping[int, str]) -> Iterator[Remark]:
    """Yield a review where a frame is over the size its profile is commonly used for."""
    if over_review_size(profile, width, height):
        yield Remark(
            Kind.REVIEW,
            "size",
            f"The frame is over {words[profile.review_short or 0]} x {words[profile.review_long or 0]}, the size up to "
            f"which profile {profile.name} is commonly used; a stiffer profile may be needed.",
        )


def insertion_remarks(
    opening: Opening, width: FrameSide, height: FrameSide, rules: Rules, words: Mapping[int, str]
) -> Iterator[Remark]:
    """Yield what stands against lifting a sprung screen in, on the axis of the deepest channel."""
    if opening.mounting not in SPRUNG:
        return
    upright = opening.deepest_side in {Side.TOP, Side.BOTTOM}
    datum = opening.height_datum if upright else opening.width_datum
    side = height if upright else width
    if datum is Datum.CHANNEL_LIPS:
        yield from _lip_remarks(opening, side, rules, words)
    elif datum is Datum.DEEP_CHANNEL and -side.added < needed_depth(Ticks(0), opening.mounting, rules):
        yield Remark(
            Kind.REVIEW,
            "insertion",
            f"The frame is only {words[-side.added]} smaller than the deep channel measured to the opposite lip, and "
            f"the compressed leaf springs take {words[rules.leaf_depth]}: it cannot be lifted in. "
            "Take off more (deep_clearance), or use wire springs.",
        )


def _lip_remarks(opening: Opening, side: FrameSide, rules: Rules, words: Mapping[int, str]) -> Iterator[Remark]:
    deep = needed_depth(side.added, opening.mounting, rules)
    springs = f" + {words[rules.leaf_depth]} leaf spring" if opening.mounting is Mounting.LEAVES else ""
    if opening.channel_depth is None:
        yield Remark(
            Kind.NOTICE,
            "insertion",
            f"The {opening.deepest_side.value} channel must be at least {words[deep]} deep for the screen to be "
            f"lifted in (both overlaps, {words[side.added]}{springs}); its depth was not measured.",
        )
    elif opening.channel_depth < deep:
        yield Remark(
            Kind.REVIEW,
            "insertion",
            f"The {opening.deepest_side.value} channel is {words[opening.channel_depth]} deep and lifting the screen "
            f"in takes {words[deep]} (both overlaps, {words[side.added]}{springs}). Measure the channel again, or "
            "take a smaller overlap (lip_overlap).",
        )
