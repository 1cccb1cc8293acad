"""What changed, as an office reads it."""

from __future__ import annotations

from service.revisions.difference_text import difference_lines
from solver.catalogue import Hardware
from solver.events import Cancelled
from solver.lengths import inches
from tests.builders import opening, pack, problem
from tests.solver.revision.chain import after, first


def test_spare_spline_is_told_in_the_units_of_the_shop() -> None:
    spool = pack(Hardware.SPLINE, inches(1200), name="spool", fits="0.160")
    job = problem(opening("A-1"), opening("A-2"), packs=(spool,))
    lines = list(difference_lines(after(first(job), Cancelled(opening="A-2"))))
    (spare,) = (line for line in lines if line.endswith("spool"))
    assert spare.split()[1] == "in", spare
