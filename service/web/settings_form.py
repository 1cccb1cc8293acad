"""The settings of a job as a form of the page, and as it is remembered for the next job."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Mapping
from dataclasses import Field, dataclass, fields
from enum import Enum
from typing import Any

from pydantic import ValidationError

from service.documents.amounts import unit_length
from service.job_settings import JobSettings, LabelGrid
from solver.defaults import default_rules
from solver.lengths import Ticks, Unit
from solver.rules import RuleKind, Rules

REMEMBERED = "screenbatch_settings"
"""Name of the cookie that keeps the settings of the last job, for a year."""

_LONGEST_COOKIE = 3_500
_KEPT = {"unit", "currency", "park_faulty_rows", "use_rack", "seconds", "work", "rules", "paper", "labels"}
_FIRST = ("kerf", "end_trim", "useful_offcut", "size_step", "bottoms_clearance", "blank_allowance")

SECONDS = ((10, "10 seconds"), (50, "50 seconds"), (300, "5 minutes"), (1_800, "half an hour"))
"""Time limits on offer for the whole search."""


class FormError(ValueError):
    """A form that cannot be used; the message says what to write."""


@dataclass(frozen=True, kw_only=True, slots=True)
class RuleField:
    """A shop rule as a field: its name, what it is, the defaults of both units, and whether it is shown at once."""

    name: str
    what: str
    inch: str
    metric: str
    first: bool

    @property
    def default(self) -> str:
        """The default in words, in both units where they differ."""
        return self.inch if self.inch == self.metric else f"{self.inch}, {self.metric} in metric jobs"


def rule_fields() -> tuple[RuleField, ...]:
    """Return a field for every shop rule, those a shop sets most often first."""
    inch, metric = default_rules(Unit.INCH), default_rules(Unit.MM)
    made = {
        rule.name: RuleField(
            name=rule.name,
            what=rule.metadata["what"][:1].upper() + rule.metadata["what"][1:],
            inch=_rule_text(inch, rule, Unit.INCH),
            metric=_rule_text(metric, rule, Unit.MM),
            first=rule.name in _FIRST,
        )
        for rule in fields(Rules)
    }
    return (*(made[name] for name in _FIRST), *(rule for rule in made.values() if not rule.first))


def _rule_text(rules: Rules, rule: Field[Any], unit: Unit) -> str:
    value = getattr(rules, rule.name)
    if rule.metadata["kind"] is RuleKind.LENGTH:
        return unit_length(Ticks(value), unit)
    return str(value.value if isinstance(value, Enum) else value) or "none"


@dataclass(frozen=True, kw_only=True, slots=True)
class LabelField:
    """One measure of a label page as a field: its name, what it is, and its default if it has one."""

    name: str
    what: str
    default: str


def label_fields() -> tuple[LabelField, ...]:
    """Return a field for every measure of a label page."""
    return tuple(
        LabelField(
            name=name,
            what=name.replace("_mm", ", mm").replace("_", " ").capitalize(),
            default="" if field.is_required() else str(field.default),
        )
        for name, field in LabelGrid.model_fields.items()
    )


def settings_of(form: Mapping[str, str]) -> JobSettings:
    """Return the settings that a form holds.

    Raises
    ------
    FormError
        If a field makes no sense; the message names it and says what to write.
    """
    rules = {name.removeprefix("rule."): text.strip() for name, text in form.items() if name.startswith("rule.")}
    unknown = sorted(set(rules) - set(Rules.__dataclass_fields__))
    if unknown:
        raise FormError(f"{unknown[0]} is no shop rule")
    usual = JobSettings()
    seconds = form.get("seconds", "") or str(round(usual.seconds))
    if not (seconds.isascii() and seconds.isdecimal()):
        raise FormError(f"time limit {seconds!r}: write whole seconds")
    said = {
        "name": form.get("name", "").strip(),
        "unit": form.get("unit", "") or None,
        "currency": form.get("currency", "").strip(),
        "columns": _columns(form.get("columns", "")),
        "rules": {name: text for name, text in rules.items() if text},
        "park_faulty_rows": form.get("park_faulty_rows", "") == "yes",
        "use_rack": form.get("use_rack", "") == "yes",
        "seconds": int(seconds),
        "work": round(int(seconds) * usual.work / usual.seconds),
        "paper": form.get("paper", "") or None,
        "labels": _labels(form),
    }
    try:
        return JobSettings.model_validate(said)
    except ValidationError as error:
        fault = error.errors(include_url=False)[0]
        raise FormError(f"{' '.join(str(step) for step in fault['loc'])}: {fault['msg']}") from error


def remembered_text(settings: JobSettings) -> str:
    """Return settings as the text of a cookie, without what belongs to one job alone; empty if they do not fit."""
    text = base64.urlsafe_b64encode(settings.model_dump_json(include=_KEPT, exclude_defaults=True).encode()).decode()
    return text if len(text) <= _LONGEST_COOKIE else ""


def remembered_settings(text: str) -> JobSettings:
    """Return the settings that a cookie keeps; the defaults if it makes no sense.

    Examples
    --------
    >>> remembered_settings(remembered_text(JobSettings(unit="mm", name="Block A"))).unit
    'mm'
    >>> remembered_settings("nonsense") == JobSettings()
    True
    """
    try:
        kept = JobSettings.model_validate_json(base64.urlsafe_b64decode(text))
    except (ValidationError, binascii.Error, ValueError):
        return JobSettings()
    return kept.model_copy(update={"rules": {k: v for k, v in kept.rules.items() if k in Rules.__dataclass_fields__}})


def _labels(form: Mapping[str, str]) -> dict[str, str] | None:
    """Return the label page as typed, None where the usual one is wanted."""
    typed = {name.removeprefix("label."): text.strip() for name, text in form.items() if name.startswith("label.")}
    filled = {name: text for name, text in typed.items() if text}
    return filled or None


def _columns(text: str) -> dict[str, str]:
    columns = {}
    for line in text.splitlines():
        word, sign, heading = line.partition("=")
        if not line.strip():
            continue
        if not sign or not word.strip() or not heading.strip():
            raise FormError(f"columns: {line.strip()!r}; write for example width = Clear opening W")
        columns[word.strip()] = heading.strip()
    return columns
