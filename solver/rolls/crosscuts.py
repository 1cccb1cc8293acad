"""Pricing of crosscuts: what the blanks side by side in a crosscut are worth at given dual values."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.rolls.demand import Demand, Whole
from solver.rolls.effort import Effort
from solver.rolls.knapsack import DENSE_PICK, DENSE_TABLE, SparseKnapsack

DENSE_UP_TO = 20_000
"""Widest roll, in width units, for which the dense form is the faster one."""
COARSE_UNITS = 8_000
"""Units of the widest roll where crosscuts are looked for in a coarser unit."""


@dataclass(frozen=True, slots=True)
class Crosscut:
    """Blanks cut side by side: ``counts`` = (kind, how many), ``length`` with the extra per crosscut.

    ``span`` is the length number for a crosscut of two stages, -1 for three;
    ``strips`` then says what each strip holds as (width, ((lay, how many), ...)).
    """

    length: int
    width: int
    counts: tuple[tuple[int, int], ...]
    span: int
    strips: tuple[tuple[int, tuple[tuple[int, int], ...]], ...] = ()


class CrosscutPricing:
    """Exact pricing of two-stage crosscuts for whole-number values of the kinds.

    ``turns`` is how often ``best_values`` is asked until every length was priced;
    ``exact`` says whether it may serve a proof, ``dense`` and
    ``compiled`` how the loops run. Where the width unit is ``fine``, as when inch
    and metric blanks meet, ``coarse`` may be set to look for crosscuts with the
    blanks' widths rounded up to a coarser unit: each found can be cut, but the
    best may be missed, so no proof may rest on it.

    Examples
    --------
    Two windows' blanks of 3 x 5 and 2 x 4 on a roll 8 wide, worth 10 and 6:

    >>> from solver.limits import Limits
    >>> from solver.rolls.demand import ordered_demand
    >>> from solver.rolls.model import Blank, RollNesting, RollWidth
    >>> blanks = (Blank(across=3, along=5, count=2), Blank(across=2, along=4, count=9))
    >>> roll = RollWidth(width=8, length=None, cost=1)
    >>> demand = ordered_demand(RollNesting(blanks=blanks, rolls=(roll,)))
    >>> pricing = CrosscutPricing(demand, Effort(Limits()))
    >>> values = np.array([6 if kind.across == 2 else 10 for kind in demand.kinds])
    >>> pricing.best_values(values, demand.counts).tolist()
    [[24], [26]]
    >>> best = pricing.crosscut(1, 0, values, demand.counts)
    >>> best.counts if best else None
    ((0, 1), (1, 2))
    """

    exact = True
    turns = 1

    def __init__(self, demand: Demand, effort: Effort) -> None:
        self.demand = demand
        self._effort = effort
        n_lays, top = len(demand.lay_kind), int(demand.widths[-1])
        # The sparse lists of a handful of blanks are shorter than any dense table.
        room = 1
        for lay in range(n_lays):
            room = min(
                top, room * (1 + min(int(demand.counts[demand.lay_kind[lay]]), top // int(demand.lay_across[lay])))
            )
        self.compiled = n_lays * room > 6_000
        self.dense = self.compiled and top <= DENSE_UP_TO
        self._sparse = SparseKnapsack(compiled=self.compiled)
        self._top = top
        self.coarse = False
        self.fine = self.compiled and not self.dense
        unit = -(-top // COARSE_UNITS) if self.fine else 1
        self._coarse_across, self._coarse_widths = -(-demand.lay_across // unit), demand.widths // unit

    def best_values(self, values: Whole, bounds: Whole) -> Whole:
        """Return the best total value in each crosscut length on each roll width.

        Parameters
        ----------
        values
            Worth of one blank of each kind, 0 or more, shape (n_kinds,).
        bounds
            Most blanks of each kind one crosscut may hold, shape (n_kinds,).

        Returns
        -------
        NDArray[np.int64]
            Shape (n_lengths, n_widths).
        """
        demand = self.demand
        lay_values, lay_bounds = values[demand.lay_kind], bounds[demand.lay_kind]
        use = (lay_values > 0) & (lay_bounds > 0)
        start, stop, across = demand.start[use], demand.stop[use], demand.lay_across[use]
        lay_values, lay_bounds = lay_values[use], lay_bounds[use]
        if self.coarse and self.fine:
            across, widths = self._coarse_across[use], self._coarse_widths
            self._effort.spend(0.5 + len(start) * int(widths[-1]) * 5e-6)
            return DENSE_TABLE.compiled(start, stop, across, lay_values, lay_bounds, len(demand.lengths), widths)
        if self.dense:
            self._effort.spend(0.5 + len(start) * self._top * 5e-6)
            return DENSE_TABLE.compiled(start, stop, across, lay_values, lay_bounds, len(demand.lengths), demand.widths)
        before = self._sparse.steps
        table = self._sparse.table(start, stop, across, lay_values, lay_bounds, len(demand.lengths), demand.widths)
        self._effort.spend(0.05 + (self._sparse.steps - before) * 5e-6)
        return table

    def crosscut(self, length: int, width: int, values: Whole, bounds: Whole) -> Crosscut | None:
        """Return a most valuable crosscut of length number ``length`` on width number ``width``, if any has value."""
        demand = self.demand
        lays = demand.lays_at(length)
        kinds = demand.lay_kind[lays]
        use = (values[kinds] > 0) & (bounds[kinds] > 0) & (demand.lay_across[lays] <= demand.widths[width])
        lays, kinds = lays[use], kinds[use]
        if not len(lays):
            return None
        if self.coarse and self.fine:
            across, room = self._coarse_across[lays], int(self._coarse_widths[width])
            self._effort.spend(0.05 + len(across) * room * 1e-6)
            counts = DENSE_PICK.compiled(across, values[kinds], bounds[kinds], room)
        else:
            counts = self._pick(demand.lay_across[lays], values[kinds], bounds[kinds], int(demand.widths[width]))
        return self.made(lays, counts) if counts.any() else None

    def made(self, lays: Whole, counts: Whole) -> Crosscut:
        """Return the crosscut that holds ``counts`` blanks of ``lays``, as short as they allow."""
        demand = self.demand
        taken = counts > 0
        lays, counts = lays[taken], counts[taken]
        span = int(demand.start[lays].max())
        kinds = demand.lay_kind[lays]
        order = np.argsort(kinds)
        return Crosscut(
            length=int(demand.lengths[span]),
            width=int((demand.lay_across[lays] * counts).sum()),
            counts=tuple(zip(kinds[order].tolist(), counts[order].tolist(), strict=True)),
            span=span,
        )

    def _pick(self, across: Whole, values: Whole, bounds: Whole, width: int) -> Whole:
        if self.dense:
            self._effort.spend(0.05 + len(across) * width * 1e-6)
            return DENSE_PICK.compiled(across, values, bounds, width)
        return self._sparse.pick(across, values, bounds, width)
