"""An independent recount of a nesting plan: every broken rule in words, from the problem alone."""

from __future__ import annotations

from collections import Counter

from solver.rolls.model import NestingPlan, RollNesting


def faults(problem: RollNesting, plan: NestingPlan) -> list[str]:
    found: list[str] = []
    cut: Counter[int] = Counter()
    used: Counter[int] = Counter()
    running: Counter[int] = Counter()
    for roll in plan.rolls:
        offer = problem.rolls[roll.roll]
        used[roll.roll] += roll.copies
        length = 0
        for crosscut in roll.crosscuts:
            length += (crosscut.length + problem.crosscut_extra) * crosscut.copies
            if 0 < problem.longest_crosscut < crosscut.length:
                found.append(f"crosscut {crosscut.length} is over the longest, {problem.longest_crosscut}")
            if sum(strip.width for strip in crosscut.strips) > offer.width:
                found.append(f"strips wider than the roll {offer.width}: {crosscut}")
            for strip in crosscut.strips:
                along = 0
                if problem.stages == 2 and sum(copies for _, _, copies in strip.blanks) != 1:
                    found.append(f"two stages, but a strip does not hold one blank: {strip}")
                for number, turned, copies in strip.blanks:
                    blank = problem.blanks[number]
                    if turned and not blank.turns:
                        found.append(f"blank {number} may not be turned")
                    across, run = (blank.along, blank.across) if turned else (blank.across, blank.along)
                    if across > strip.width:
                        found.append(f"blank {number} is wider than its strip")
                    along += run * copies
                    cut[number] += copies * crosscut.copies * roll.copies
                if along > crosscut.length:
                    found.append(f"strip longer than its crosscut: {strip}")
        if offer.length is not None and length > offer.length:
            found.append(f"roll {roll.roll} is {offer.length} long, {length} is cut from it")
        if offer.length is None:
            running[roll.roll] += length * roll.copies
    cost = sum(-(-length // problem.rolls[r].step) * problem.rolls[r].cost for r, length in running.items())
    cost += sum(problem.rolls[r].cost * n for r, n in used.items() if problem.rolls[r].length is not None)
    for number, count in used.items():
        limit = problem.rolls[number].limit
        if problem.rolls[number].length is None and count > 1:
            found.append(f"running length {number} stands {count} times")
        elif limit is not None and problem.rolls[number].length is not None and count > limit:
            found.append(f"{count} rolls {number} used, {limit} exist")
    for number, blank in enumerate(problem.blanks):
        if cut[number] != blank.count:
            found.append(f"blank {number}: {cut[number]} cut, {blank.count} wanted")
    if cost != plan.cost:
        found.append(f"cost is {cost}, the plan says {plan.cost}")
    if plan.bound > plan.cost:
        found.append(f"bound {plan.bound} over cost {plan.cost}")
    return found
