"""The stock lists looked up by what a frame asks of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection

from solver.catalogue import Catalogue, Kit, Mesh, Profile, RollStock, StickStock
from solver.lengths import Ticks
from solver.rules import Rules, Turning


class Shelf:
    """What the stock lists hold, ready for many look-ups.

    Names are matched as written, and failing that without regard to upper and
    lower case; what comes back is always the name in the stock lists.
    """

    def __init__(self, catalogue: Catalogue, rules: Rules) -> None:
        self._rules = rules
        self._profiles = {profile.name: profile for profile in catalogue.profiles}
        self._meshes = {mesh.name: mesh for mesh in catalogue.meshes}
        self.sticks: dict[tuple[str, str], list[StickStock]] = defaultdict(list)
        for stick in catalogue.sticks:
            if stick.to_be_had:
                self.sticks[stick.profile, stick.colour].append(stick)
        self.rolls: dict[str, list[RollStock]] = defaultdict(list)
        for roll in catalogue.rolls:
            if roll.to_be_had:
                self.rolls[roll.mesh].append(roll)
        for kit in catalogue.kits:
            if kit.to_be_had:
                self._open(kit)
        self.mesh_names = tuple(name for name in self._meshes if name in self.rolls)
        self.colours = tuple(dict.fromkeys(colour for _, colour in self.sticks))
        self._in_colour = {
            colour: tuple(profile for name, profile in self._profiles.items() if (name, colour) in self.sticks)
            for colour in self.colours
        }
        self._longest = {
            key: max(sticks, key=lambda stick: stick.usable_length(rules.end_trim))
            for key, sticks in self.sticks.items()
        }
        self._fitting: dict[tuple[Ticks, str], Profile | None] = {}
        self._splines = {(choice.profile, choice.mesh): choice.spline for choice in reversed(catalogue.splines)}

    def _open(self, kit: Kit) -> None:
        """Put the sticks and the mesh of a kit beside those sold loose: a rail or a blank may be cut from them."""
        for sticks in kit.sticks:
            self.sticks[kit.profile, kit.colour].append(
                StickStock(
                    name=kit.name,
                    profile=kit.profile,
                    colour=kit.colour,
                    length=sticks.length,
                    on_sale=False,
                    on_hand=sticks.count,
                )
            )
        if kit.mesh is not None:
            piece = kit.mesh
            self.rolls[piece.mesh].append(
                RollStock(
                    name=kit.name,
                    mesh=piece.mesh,
                    width=piece.width,
                    length=piece.length,
                    on_sale=False,
                    on_hand=piece.count,
                )
            )

    @property
    def profile_names(self) -> tuple[str, ...]:
        """Every profile in the stock lists."""
        return tuple(self._profiles)

    def profile(self, name: str) -> Profile | None:
        """Return a profile by name."""
        return self._profiles.get(_listed(name, self._profiles) or "")

    def mesh(self, name: str) -> Mesh | None:
        """Return a mesh by name; without a name the only one there is."""
        if not name and len(self.mesh_names) == 1:
            return self._meshes[self.mesh_names[0]]
        return self._meshes.get(_listed(name, self._meshes) or "")

    def colour(self, name: str) -> str | None:
        """Return a colour some stick comes in; without a name the only one there is."""
        if not name and len(self.colours) == 1:
            return self.colours[0]
        return _listed(name, self.colours)

    def colours_of(self, profile: str) -> tuple[str, ...]:
        """Return the colours a profile is to be had in."""
        return tuple(dict.fromkeys(colour for name, colour in self.sticks if name == profile))

    def profiles_in(self, colour: str) -> tuple[Profile, ...]:
        """Return the profiles with sticks to be had in a colour, as listed."""
        return self._in_colour.get(colour, ())

    def profile_for(self, slot: Ticks, play: Ticks, colour: str) -> Profile | None:
        """Return the thickest profile in a colour that is no thicker than slot minus play; of equals the first listed.

        References
        ----------
        Common practice, no source.
        """
        key = (Ticks(slot - play), colour)
        if key not in self._fitting:
            fitting = [profile for profile in self.profiles_in(colour) if profile.thickness <= slot - play]
            self._fitting[key] = max(fitting, key=lambda profile: profile.thickness, default=None)
        return self._fitting[key]

    def spline(self, profile: str, mesh: str) -> str | None:
        """Return the spline for a mesh in a profile; the closest choice goes before the wider one."""
        for key in ((profile, mesh), (profile, ""), ("", mesh), ("", "")):
            if key in self._splines:
                return self._splines[key]
        return None

    @property
    def splines_listed(self) -> bool:
        """Whether the stock lists choose splines at all."""
        return bool(self._splines)

    def longest_stick(self, profile: str, colour: str) -> StickStock | None:
        """Return the stick that takes the longest rail."""
        return self._longest.get((profile, colour))

    def roll_takes(self, mesh: Mesh, width: Ticks, height: Ticks) -> bool:
        """Return whether some roll takes a blank, turned too where the mesh may be."""
        ways = [(width, height)] if mesh.turning is Turning.NEVER else [(width, height), (height, width)]
        return any(self._fits(roll, across, along) for roll in self.rolls.get(mesh.name, ()) for across, along in ways)

    def _fits(self, roll: RollStock, across: Ticks, along: Ticks) -> bool:
        rules = self._rules
        if across > roll.usable_width(rules.selvage_trim):
            return False
        if rules.longest_crosscut and along > rules.longest_crosscut:
            return False
        return roll.length is None or along + rules.crosscut_extra <= roll.length


def over_review_size(profile: Profile, width: Ticks, height: Ticks) -> bool:
    """Return whether a frame is over the size its profile is commonly used for, either way round."""
    short, long = min(width, height), max(width, height)
    if profile.review_short is None or profile.review_long is None:
        return False
    return short > profile.review_short or long > profile.review_long


def _listed(name: str, known: Collection[str]) -> str | None:
    """Return the known name that is meant, or None."""
    if name in known:
        return name
    alike = [each for each in known if each.casefold() == name.casefold().strip()]
    return alike[0] if len(alike) == 1 else None
