"""How open a mesh is."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from solver.catalogue import Mesh


@dataclass(frozen=True, slots=True)
class Openness:
    """Share of the area that is open (0 to 1), and the two apertures in inches, all exact."""

    share: Fraction
    aperture_across: Fraction
    aperture_along: Fraction


def openness(mesh: Mesh) -> Openness | None:
    """Return how open a rectangular mesh is, or None where counts or thread are not known.

    References
    ----------
    Open area (1 - N1 d)(1 - N2 d) and aperture 1/N - d: the formula of ASTM E2016,
    which excludes insect wire screening from its scope; no conformance is claimed.

    Examples
    --------
    >>> found = openness(Mesh(name="glass", count_across=18, count_along=16, thread_inches=Fraction(11, 1000)))
    >>> f"{float(found.share):.3%}"
    '66.085%'
    """
    across, along, thread = mesh.count_across, mesh.count_along, mesh.thread_inches
    if not across or not along or thread is None or thread * max(across, along) >= 1:
        return None
    return Openness(
        (1 - across * thread) * (1 - along * thread), 1 / Fraction(across) - thread, 1 / Fraction(along) - thread
    )


def openness_words(mesh: Mesh, open_to: Openness) -> str:
    """Return the open area of a mesh as a sentence."""
    apertures = " x ".join(
        f"{float(side * 254 / 10):.2f}" for side in (open_to.aperture_across, open_to.aperture_along)
    )
    return (
        f"Mesh {mesh.name}: about {float(open_to.share) * 100:.0f} % open, apertures about {apertures} mm, by the "
        "rectangular-mesh formula; no conformance to a standard is claimed and no insect is promised to stay out."
    )
