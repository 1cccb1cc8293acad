"""A job falls into parts: rails by profile and colour, blanks by mesh."""

from __future__ import annotations

from solver.catalogue import KitMesh, Mesh
from solver.lengths import inches
from solver.parts import BlankPart, RailPart, parts
from solver.plan import Place
from solver.rules import Turning
from solver.sizing import sized
from tests.builders import MESH, opening, problem, roll, stick
from tests.solver.purchase.offers import kit

BROWN = stick("8 ft brown", colour="brown")
TWO_COLOURS = problem(opening("A", quantity=2), opening("B", colour="brown"), sticks=(stick(), BROWN))


def test_each_colour_is_a_part_of_its_own_and_the_mesh_is_shared() -> None:
    found = parts(TWO_COLOURS, sized(TWO_COLOURS).screens)
    assert [part.name for part in found] == ["rails 5/16 brown", "rails 5/16 white", f"mesh {MESH}"]


def test_a_part_holds_the_rails_of_its_openings_with_their_number() -> None:
    white = parts(TWO_COLOURS, sized(TWO_COLOURS).screens)[1]
    assert isinstance(white, RailPart)
    assert [(run.opening, run.place, run.quantity) for run in white.runs] == [
        ("A", place, 2) for place in (Place.TOP, Place.BOTTOM, Place.LEFT, Place.RIGHT)
    ]


def test_a_part_holds_the_sticks_and_kits_of_its_profile_and_colour_only() -> None:
    job = problem(sticks=(stick(), BROWN), kits=(kit(), kit("brown kit", colour="brown")))
    white = parts(job, sized(job).screens)[0]
    assert isinstance(white, RailPart)
    assert ([s.name for s in white.sticks], [k.name for k in white.kits]) == (["8 ft"], ["kit 36"])


def test_a_mesh_part_holds_the_kits_with_a_piece_of_that_mesh() -> None:
    piece = KitMesh(mesh=MESH, width=inches(36), length=inches(48))
    job = problem(kits=(kit(), kit("kit with mesh", mesh=piece)))
    mesh = parts(job, sized(job).screens)[1]
    assert isinstance(mesh, BlankPart)
    assert [k.name for k in mesh.kits] == ["kit with mesh"]


def test_a_mesh_turns_where_the_stock_list_says_so() -> None:
    job = problem(meshes=(Mesh(name=MESH, turning=Turning.FREE),), rolls=(roll(),))
    mesh = parts(job, sized(job).screens)[1]
    assert isinstance(mesh, BlankPart)
    assert mesh.turns
