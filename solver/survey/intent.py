"""What the words of a row say against its figures."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields

from solver.openings import Datum, Opening
from solver.rules import Rules, RuleScope
from solver.survey.finding import SurveyFinding, SurveyKind

_DONE = re.compile(r"\b(already deducted|deducted|finished size|frame size|cut size|net size|deduction made)\b", re.I)
_GLASS = re.compile(r"\b(glass size|sash size|pane size|sash opening|daylight)\b", re.I)
_DEDUCTING = {Datum.CHANNEL_BOTTOMS, Datum.CHANNEL_LIPS, Datum.DEEP_CHANNEL, Datum.STOPS, Datum.FACE}
_SHOP_RULES = tuple(rule.name for rule in fields(Rules) if rule.metadata["scope"] is RuleScope.SHOP)


def intent_findings(opening: Opening) -> Iterator[SurveyFinding]:
    """Yield where a note speaks of another datum than the row has."""
    if not opening.note or not {opening.width_datum, opening.height_datum} & _DEDUCTING:
        return
    done, glass = _DONE.search(opening.note), _GLASS.search(opening.note)
    datum = opening.width_datum if opening.width_datum in _DEDUCTING else opening.height_datum
    if done:
        yield SurveyFinding(
            opening=opening.label,
            field="width_datum",
            topic="already deducted",
            kind=SurveyKind.QUESTION,
            seen=f"The note says {done[0]!r}, and the row was measured by {datum.value}.",
            why="A clearance or overlap would be applied to a size that has had it already.",
            do="Write finished size as what was measured, or change the note.",
            proposal=Datum.FINISHED.value,
        )
    if glass:
        yield SurveyFinding(
            opening=opening.label,
            field="widths",
            topic="glass size",
            kind=SurveyKind.NOTICE,
            seen=f"The note says {glass[0]!r}, and the row was measured by {datum.value}.",
            why="A screen sized from the sash or the glass is too small for its channel.",
            do="Measure the channel.",
        )


def shop_rule_findings(opening: Opening, shop: Rules) -> Iterator[SurveyFinding]:
    """Yield the row's own rules that belong to the saw or the table and so hold for all rows alike."""
    own = opening.rules
    if own is None or own is shop:
        return
    for name in _SHOP_RULES:
        if getattr(own, name) != getattr(shop, name):
            yield SurveyFinding(
                opening=opening.label,
                field="rules",
                topic="rule",
                kind=SurveyKind.NOTICE,
                seen=f"The row has its own {name}.",
                why="It belongs to the saw, the cutting table or the purchase, which serve all rows alike: no effect.",
                do=f"Set {name} on the rules sheet.",
            )
