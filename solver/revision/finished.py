"""The stock after a whole plan is cut and every screen is made: what the next job or phase begins with."""

from __future__ import annotations

from dataclasses import replace

from solver.catalogue import Catalogue, Pack
from solver.events import EverythingCut
from solver.plan import Plan
from solver.problem import Problem
from solver.revision.deliveries import deliveries
from solver.revision.stock import rack_now
from solver.revision.work import work_done


def stock_when_finished(problem: Problem, plan: Plan) -> Catalogue:
    """Return the stock lists after everything bought came, everything was cut and all hardware fitted.

    Offcuts and roll ends lie on the rack whatever their size; what is worth
    keeping is for the keeper of the rack to say.
    """
    events = (EverythingCut(),)
    came = deliveries(problem.catalogue, plan, events)
    catalogue = rack_now(problem, plan, work_done(problem, plan, events), came).catalogue
    used: dict[str, int] = {}
    for line in plan.purchases:
        name = line.stock or line.what
        used[name] = used.get(name, 0) + line.need
    for use in plan.kits:
        for content in use.contents:
            if content.hardware is not None:
                name = f"loose {content.hardware.value} {content.fits}".strip()
                used[name] = used.get(name, 0) + content.used
    return replace(catalogue, packs=tuple(_less(pack, used) for pack in catalogue.packs))


def _less(pack: Pack, used: dict[str, int]) -> Pack:
    return replace(pack, on_hand=max(0, pack.on_hand - used.get(pack.name, 0)))
