"""Lengths as words in the unit of the job, each written once and kept."""

from __future__ import annotations

from solver.lengths import TICKS_PER_SIXTY_FOURTH, Ticks, Unit, length_text, mm_text


class Words(dict[int, str]):
    """The texts of lengths in one unit; ``words[length]`` writes a text on first use.

    A length that is no tape reading is shown with its exact millimetres behind
    the nearest one, so that nothing in an arithmetic line is lost.

    Examples
    --------
    >>> from solver.lengths import inches, mm
    >>> words = Words(Unit.INCH)
    >>> words[inches(47, 1, 4)], words[mm(900)]
    ('47 1/4', '~35 7/16 (900 mm)')
    """

    def __init__(self, unit: Unit) -> None:
        super().__init__()
        self.unit = unit

    def __missing__(self, length: int) -> str:
        """Write the text of a length and keep it."""
        text = length_text(Ticks(length), self.unit)
        if self.unit is Unit.INCH and length % TICKS_PER_SIXTY_FOURTH:
            text = f"{text} ({mm_text(Ticks(length))} mm)"
        self[length] = text
        return text
