"""Cautions that hold for the whole job, and what to know of its meshes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solver.catalogue import Mesh
from solver.openings import Opening
from solver.plan import Kind
from solver.rules import Rules
from solver.sizing.cautions.authority import ask
from solver.sizing.cautions.cloth import openness, openness_words
from solver.sizing.remarks import Remark


def job_remarks(openings: tuple[Opening, ...], rules: Rules) -> Iterator[Remark]:
    """Yield the cautions every job carries, and those of its place."""
    yield Remark(
        Kind.CAUTION,
        "fall",
        "An insect screen does not stop a child from falling. Keep furniture away from open windows, and see to "
        f"limiters or guards where a fall is possible. {ask(rules)}",
    )
    yield Remark(
        Kind.CAUTION,
        "cutting",
        "Cut ends and burrs are sharp, and so are the blades for mesh and spline: deburr every cut, wear eye, hand and "
        "hearing protection, and support thin hollow sections at the saw.",
    )
    yield Remark(
        Kind.CAUTION,
        "fitting",
        "Fit from inside where possible, never lean out, and secure screens above entrances while they are handled. "
        "Pull tabs serve to take a screen out; they do not hold it in.",
    )
    yield Remark(
        Kind.NOTICE,
        "spline",
        "Spline sizes differ by maker: try each spline with its mesh in a piece of its profile before buying many.",
    )
    if all(opening.built_year is None for opening in openings):
        yield Remark(
            Kind.NOTICE,
            "old house",
            f"No building year is given. In houses built before {rules.lead_before} old paint may hold lead, and old "
            "putty or caulk may hold asbestos: do not disturb either before it is tested.",
        )
    if rules.wildfire_zone:
        yield Remark(
            Kind.CAUTION,
            "wildfire",
            f"The job lies in wildfire zone {rules.wildfire_zone}. Ember rules are mostly about vents, and window "
            f"cloth is no ember mesh. {ask(rules)}",
        )


def mesh_remarks(mesh: Mesh, rules: Rules) -> Iterator[Remark]:
    """Yield what to know of one mesh, for the openings that have it."""
    counts = [count for count in (mesh.count_across, mesh.count_along) if count is not None]
    if counts and min(counts) < rules.least_mesh_count:
        yield Remark(
            Kind.NOTICE,
            "mesh count",
            f"Mesh {mesh.name} has under {rules.least_mesh_count} threads an inch. Some rules for housing ask for "
            f"{rules.least_mesh_count} (29 CFR 1910.142(b)(8), 20 CFR 654.408). {ask(rules)}",
        )


def open_area_remarks(meshes: Iterable[Mesh]) -> Iterator[Remark]:
    """Yield how open each mesh of the job is, where its threads are known."""
    for mesh in meshes:
        found = openness(mesh)
        if found is not None:
            yield Remark(Kind.NOTICE, "open area", openness_words(mesh, found))
