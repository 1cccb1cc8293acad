"""What a joint purchase asks of one group: a cut where amounts fall short, and its best plan with free stock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from solver.limits import Ending, Limits
from solver.purchase.basket.model import Cut, Growth


@dataclass(frozen=True, kw_only=True, slots=True)
class Terms:
    """What a group may use: ``free`` amounts that are paid for, and which of its loose articles may be bought.

    Both run in step with the group's slots, shape (n_slots,). A slot of loose
    stock may have a free amount too, where a least number is prepaid.
    """

    free: tuple[int, ...]
    sold: tuple[bool, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """A group solved: ``used`` of each slot, cost and exact bound of the loose stock beyond what is free.

    ``complete`` is False where stock that does not exist had to stand in; the
    bound holds all the same.
    """

    cost: int
    bound: int
    used: tuple[int, ...]
    complete: bool
    ending: Ending
    work: int
    answer: object

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper can exist."""
        return self.cost == self.bound


class Side(Protocol):
    """One group of a basket.

    Attributes
    ----------
    resources
        The resource that stands behind each slot, shape (n_slots,).
    """

    resources: tuple[int, ...]

    def shortfall(self, amounts: Sequence[int]) -> Cut | Growth | None:
        """Return what rules these amounts of each slot out, or None if the group may have enough."""
        ...

    def solved(self, terms: Terms, missing_cost: int, limits: Limits) -> Solved:
        """Return the group's best plan; stock that does not exist costs ``missing_cost`` a piece."""
        ...
