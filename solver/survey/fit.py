"""Slot, channel, size and roll against the profile and mesh of an opening."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solver.catalogue import Mesh, Profile
from solver.frames import SPRUNG, Shelf, counting_reading, frame_size, needed_depth, over_review_size
from solver.lengths import Ticks
from solver.openings import Datum, Opening, Side
from solver.rules import Rules, Turning
from solver.survey.finding import SurveyFinding, SurveyKind


def fit_findings(
    opening: Opening, rules: Rules, shop: Rules, shelf: Shelf, words: Mapping[int, str]
) -> Iterator[SurveyFinding]:
    """Yield what stands between an opening and its screen."""
    colour = shelf.colour(opening.colour)
    profile = shelf.profile(opening.profile) if opening.profile is not None else None
    if profile is None and colour is not None and opening.slot_width is not None:
        profile = shelf.profile_for(opening.slot_width, rules.slot_play, colour)
    width = frame_size(counting_reading(opening.widths, opening.width_datum), opening.width_datum, rules)
    height = frame_size(counting_reading(opening.heights, opening.height_datum), opening.height_datum, rules)
    if opening.slot_width is not None:
        yield from _slot(opening, opening.slot_width, profile, rules, words)
    if opening.channel_depth is not None:
        yield from _depth(opening, opening.channel_depth, rules, words)
    if profile is not None and over_review_size(profile, width, height):
        yield _review(opening, profile, width, height, words)
    mesh = shelf.mesh(opening.mesh)
    if mesh is not None and mesh.name in shelf.rolls:
        across, along = Ticks(width + 2 * rules.blank_allowance), Ticks(height + 2 * rules.blank_allowance)
        if not shelf.roll_takes(mesh, across, along):
            yield _roll(opening, mesh, across, along, shelf, shop, words)


def _slot(
    opening: Opening, slot: Ticks, profile: Profile | None, rules: Rules, words: Mapping[int, str]
) -> Iterator[SurveyFinding]:
    if profile is None:
        seen, why = f"The slot reads {words[slot]}.", "No profile in stock goes into it."
        do = "Measure the slot again, or add a thinner profile with its sticks."
    elif profile.thickness > slot - rules.slot_play:
        seen = f"The slot reads {words[slot]} and profile {profile.name} is {words[profile.thickness]} thick."
        why = f"Less than {words[rules.slot_play]} play: it binds or does not go in."
        do = "Measure the slot again, or choose a thinner profile."
    elif 2 * profile.thickness < slot:
        seen = f"The slot reads {words[slot]} and profile {profile.name} is {words[profile.thickness]} thick."
        why = "The slot is more than twice as wide: the screen rattles, or the slot was not what was measured."
        do = "Measure the slot again, or choose a thicker profile."
    else:
        return
    yield SurveyFinding(
        opening=opening.label, field="slot_width", topic="slot", kind=SurveyKind.NOTICE, seen=seen, why=why, do=do
    )


def _depth(opening: Opening, depth: Ticks, rules: Rules, words: Mapping[int, str]) -> Iterator[SurveyFinding]:
    """Yield if the deepest channel is too shallow to push a sprung screen in until its other edge clears the lip."""
    upright = opening.deepest_side in {Side.TOP, Side.BOTTOM}
    datum = opening.height_datum if upright else opening.width_datum
    if opening.mounting not in SPRUNG or datum is not Datum.CHANNEL_LIPS:
        return
    deep = needed_depth(Ticks(2 * rules.lip_overlap), opening.mounting, rules)
    if depth < deep:
        yield SurveyFinding(
            opening=opening.label,
            field="channel_depth",
            topic="depth",
            kind=SurveyKind.NOTICE,
            seen=f"The {opening.deepest_side.value} channel reads {words[depth]} deep.",
            why=f"Overlap, opposite overlap and {opening.mounting.value} take {words[deep]}: it cannot be lifted in.",
            do="Measure the depth again, or take a smaller overlap for this row (lip_overlap).",
        )


def _review(opening: Opening, profile: Profile, width: Ticks, height: Ticks, words: Mapping[int, str]) -> SurveyFinding:
    limit = f"{words[profile.review_short or 0]} x {words[profile.review_long or 0]}"
    return SurveyFinding(
        opening=opening.label,
        field="widths",
        topic="size",
        kind=SurveyKind.NOTICE,
        seen=f"The frame comes to {words[width]} x {words[height]} in profile {profile.name}.",
        why=f"That profile is commonly used up to {limit}; beyond it rails bow.",
        do="Make sure of the readings, or choose a stiffer profile.",
    )


def _roll(
    opening: Opening, mesh: Mesh, across: Ticks, along: Ticks, shelf: Shelf, shop: Rules, words: Mapping[int, str]
) -> SurveyFinding:
    widest = max(roll.usable_width(shop.selvage_trim) for roll in shelf.rolls[mesh.name])
    return SurveyFinding(
        opening=opening.label,
        field="widths",
        topic="roll",
        kind=SurveyKind.NOTICE,
        seen=f"The mesh blank comes to {words[across]} x {words[along]}; the widest roll of {mesh.name} gives "
        f"{words[widest]}.",
        why="No roll takes it" + (", turned or not." if mesh.turning is not Turning.NEVER else " without turning."),
        do="Make sure of the readings, add a wider roll, or choose a mesh that has one.",
    )
