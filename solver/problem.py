"""The whole input of a calculation."""

from __future__ import annotations

from dataclasses import dataclass, field

from solver.catalogue import Catalogue
from solver.errors import RecordError
from solver.lengths import Unit
from solver.openings import Opening, Parked
from solver.pieces import PinnedBlank, PinnedRail
from solver.rules import Rules


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """Openings, shop rules and stock: everything a plan follows from.

    ``unit`` only decides how lengths are written in texts. ``assumed`` lists, in
    the office's words, what the job did not say and defaults stand in for.
    ``parked`` are rows set aside to be measured again, as a walking route.
    ``pinned_rails`` and ``pinned_blanks`` are cut already: a plan cuts the others.
    ``numbering`` lists, in a revision, every label the job ever had in the order
    in which they came: an opening's number stands in the codes on its labels, so
    it must outlast cancellations. Empty for a first plan.
    """

    openings: tuple[Opening, ...]
    catalogue: Catalogue
    rules: Rules = field(default_factory=Rules)
    name: str = "job"
    unit: Unit = Unit.INCH
    currency: str = ""
    assumed: tuple[str, ...] = ()
    parked: tuple[Parked, ...] = ()
    pinned_rails: tuple[PinnedRail, ...] = ()
    pinned_blanks: tuple[PinnedBlank, ...] = ()
    numbering: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a job without openings or with one label twice."""
        if not self.openings:
            raise RecordError("the job has no openings")
        labels = [opening.label for opening in self.openings]
        if len(set(labels)) < len(labels):
            twice = sorted({label for label in labels if labels.count(label) > 1})
            raise RecordError(f"labels used twice: {', '.join(twice)}")

    def rules_of(self, opening: Opening) -> Rules:
        """Return the rules that hold for one opening."""
        return opening.rules or self.rules
