"""Small random jobs for laws: a few rails, two or three lengths on sale, leftovers, bundles, limits."""

from __future__ import annotations

from hypothesis import strategies as st

from solver.sticks.model import CuttingStock, StockLength


@st.composite
def small_jobs(draw: st.DrawFn, bundles: bool = True) -> CuttingStock:
    """Return a job whose rails surely fit: one length on sale is endless and holds each."""
    rails = draw(st.dictionaries(st.integers(12, 70), st.integers(1, 4), min_size=1, max_size=5))
    lengths = sorted(rails, reverse=True)
    stock = [StockLength(length=draw(st.integers(72, 130)), cost=draw(st.integers(5, 12)))]
    for _ in range(draw(st.integers(0, 2))):
        cost = draw(st.integers(3, 14))
        bundle = (3, draw(st.integers(2 * cost, 3 * cost))) if bundles and draw(st.booleans()) else None
        limit = draw(st.none() | st.integers(1, 6))
        stock.append(StockLength(length=draw(st.integers(40, 150)), cost=cost, limit=limit, bundle=bundle))
    stock += [StockLength(length=draw(st.integers(15, 90)), cost=0, limit=1) for _ in range(draw(st.integers(0, 2)))]
    return CuttingStock(
        lengths=tuple(lengths),
        counts=tuple(rails[length] for length in lengths),
        kerf=draw(st.integers(0, 2)),
        stock=tuple(stock),
    )
