"""How much less a plan takes than another way."""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal


def saved_text(cost: int, by_hand: int) -> str:
    """Return how much less a plan takes than by hand, in percent, rounded down to a tenth.

    Examples
    --------
    >>> saved_text(980, 1000), saved_text(1000, 1000)
    ('2 % less', 'the same')
    """
    if cost == by_hand:
        return "the same"
    share = (Decimal(abs(by_hand - cost)) * 100 / max(by_hand, 1)).quantize(Decimal("0.1"), rounding=ROUND_FLOOR)
    shown = f"{share.normalize():f} %" if share else "under 0.1 %"
    return f"{shown} {'less' if cost < by_hand else 'more'}"
