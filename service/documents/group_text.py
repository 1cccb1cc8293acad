"""A group of a plan in words: its name, what it costs, how sure that is, and what it would cost by hand."""

from __future__ import annotations

from collections.abc import Iterator

from service.documents.certainty import certainty_words, joint_words, measured_text
from service.documents.saving import saved_text
from solver.lengths import Unit
from solver.plan import Plan, RollGroup, StickGroup


def groups_of(plan: Plan) -> Iterator[StickGroup | RollGroup]:
    """Yield every group of a plan: sticks, then rolls."""
    yield from plan.stick_groups
    yield from plan.roll_groups


def group_name(group: StickGroup | RollGroup) -> str:
    """Return what the office calls a group.

    Examples
    --------
    >>> from solver.limits import Ending
    >>> from solver.plan import ByHand, Proof
    >>> proof = Proof(measure="cents", cost=1, bound=1, ending=Ending.PROVEN)
    >>> group_name(RollGroup(mesh="18x16 grey", rolls=(), leftovers=(), proof=proof,
    ...     by_hand=ByHand(words="", cost=None)))
    'mesh 18x16 grey'
    """
    if isinstance(group, RollGroup):
        return f"mesh {group.mesh}".strip()
    return " ".join(word for word in ("rails", group.profile, group.colour) if word)


def group_cost(group: StickGroup | RollGroup, unit: Unit, currency: str) -> str:
    """Return what a group costs, in money or material; a group of a basket has no cost of its own."""
    if group.proof.joint:
        return f"bought together with the rest of {joint_words(group.proof.joint)}"
    return measured_text(group.proof.measure, group.proof.cost, unit, currency)


def group_by_hand(group: StickGroup | RollGroup, unit: Unit, currency: str) -> str:
    """Return what the group would cost by hand, in money or material; of a basket's group what the basket would."""
    if group.by_hand.cost is None:
        return "no way found by hand"
    words = measured_text(group.proof.measure, group.by_hand.cost, unit, currency)
    return f"{words} for the whole of {joint_words(group.proof.joint)}" if group.proof.joint else words


def group_saved(group: StickGroup | RollGroup) -> str:
    """Return how much less the plan takes than by hand; empty where the two cannot be compared."""
    if group.by_hand.cost is None or group.proof.joint:
        return ""
    return saved_text(group.proof.cost, group.by_hand.cost)


def group_certainty(group: StickGroup | RollGroup) -> str:
    """Return how sure a group's plan is, in words."""
    return certainty_words(group.proof)
