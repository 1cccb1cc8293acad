"""Cautions that a row calls for: falls, escape, old paint and putty, ladders."""

from __future__ import annotations

from collections.abc import Iterator

from solver.frames import Words
from solver.openings import Datum, Mounting, Opening
from solver.plan import Kind
from solver.rules import Rules
from solver.sizing.cautions.authority import ask
from solver.sizing.cautions.escape import escape_line, escape_remarks
from solver.sizing.remarks import Remark


def row_remarks(opening: Opening, rules: Rules, words: Words) -> Iterator[Remark]:
    """Yield the cautions of one opening."""
    if opening.escape:
        yield from escape_remarks(opening, rules, words)
    yield from _fall(opening, rules, words)
    yield from _old_house(opening, rules)
    if opening.mounting is Mounting.CLIPS or Datum.FACE in {opening.width_datum, opening.height_datum}:
        yield Remark(
            Kind.CAUTION,
            "ladder",
            "Fitted from outside: tie the ladder, rails 3 ft (0.9 m) above the landing (29 CFR 1926.1053(b)(1)), never "
            "lean out, and leave work at height to those licensed for it.",
        )


def row_lines(opening: Opening, rules: Rules, words: Words) -> tuple[str, ...]:
    """Return the arithmetic lines that a caution rests on."""
    return (escape_line(opening, rules, words),) if opening.escape else ()


def _fall(opening: Opening, rules: Rules, words: Words) -> Iterator[Remark]:
    """Yield what to know of a low sill over a drop; where only one of the two is known, ask for the other."""
    sill, drop = opening.sill_height, opening.drop_outside
    if (sill is not None and sill >= rules.fall_sill) or (drop is not None and drop <= rules.fall_drop):
        return
    unit = words.unit.value
    figures = (
        f"sill under {words[rules.fall_sill]} {unit} and more than {words[rules.fall_drop]} {unit} of drop outside"
    )
    device = "an opening limiter or a fall prevention device (ASTM F2090)"
    if sill is not None and drop is not None:
        yield Remark(
            Kind.CAUTION,
            "fall",
            f"The {figures}: a child can fall through the screen. IRC R312.2 asks for {device} there; other codes use "
            f"other figures. {ask(rules)}",
        )
    elif sill is not None or drop is not None:
        missing = "drop outside" if drop is None else "sill height"
        yield Remark(
            Kind.CAUTION,
            "fall",
            f"The {missing} is not given: with {figures}, a child can fall through the screen and {device} may be "
            f"asked for (IRC R312.2). Look before fitting. {ask(rules)}",
        )


def _old_house(opening: Opening, rules: Rules) -> Iterator[Remark]:
    year = opening.built_year
    if year is None:
        return
    if year < rules.lead_before:
        yield Remark(
            Kind.CAUTION,
            "lead",
            f"Built before {rules.lead_before}: old paint may hold lead. Do not scrape, sand or drill it before it is "
            "tested; disturbing more than 6 sq ft a room inside is no minor work, and replacing a window never is "
            f"(40 CFR 745.83, United States). Leave it to certified practice. {ask(rules)}",
        )
    if year < rules.asbestos_before:
        yield Remark(
            Kind.CAUTION,
            "asbestos",
            f"Built before {rules.asbestos_before}: old putty or caulk may hold asbestos. If a screen cannot be fitted "
            "without disturbing it, stop and ask someone licensed for it.",
        )
