"""The notices that name openings: what tests of single rows look at."""

from solver.plan import Kind, Notice
from solver.problem import Problem
from solver.sizing import sized


def row_notices(job: Problem) -> tuple[Notice, ...]:
    """What was said of single openings, cautions apart."""
    return tuple(notice for notice in sized(job).notices if notice.openings and notice.kind is not Kind.CAUTION)


def row_cautions(job: Problem) -> tuple[Notice, ...]:
    """The cautions that single openings call for."""
    return tuple(notice for notice in sized(job).notices if notice.openings and notice.kind is Kind.CAUTION)
