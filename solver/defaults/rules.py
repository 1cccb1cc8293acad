"""The rules a shop starts with, in tape fractions or in whole millimetres."""

from __future__ import annotations

from solver.lengths import Unit, mm
from solver.rules import Rules


def default_rules(unit: Unit) -> Rules:
    """Return the rules that hold where a job says nothing.

    The metric set is the inch set in whole millimetres, so that a metric shop
    rounds to its own step and reads its own numbers.

    References
    ----------
    Common practice, no source; the millimetres are the inch figures rounded.

    Examples
    --------
    >>> default_rules(Unit.INCH) == Rules(), default_rules(Unit.MM).size_step == mm(1)
    (True, True)
    """
    if unit is Unit.INCH:
        return Rules()
    return Rules(
        bottoms_clearance=mm(3),
        lip_overlap=mm(3),
        deep_clearance=mm(3),
        face_overlap=mm(10),
        stops_clearance=mm(3),
        size_step=mm(1),
        slot_play=mm(1),
        usual_thickness=mm(9),
        leaf_depth=mm(2),
        bar_above=mm(1_200),
        bar_span=mm(1_500),
        blank_allowance=mm(25),
        third_spring_above=mm(1_200),
        clip_spacing=mm(500),
        kerf=mm(3),
        end_trim=mm(6),
        useful_offcut=mm(300),
        selvage_trim=mm(6),
        useful_mesh_width=mm(450),
        useful_mesh_length=mm(600),
        spread_warning=mm(6),
        spread_limit=mm(12),
        square_warning=mm(3),
        square_review=mm(6),
        sure_least=mm(125),
        sure_most=mm(6_000),
        plausible_least=mm(200),
        plausible_most=mm(2_400),
        plausible_area="3.7 m2",
        type_deviation=mm(12),
        diagonal_misfit=mm(25),
    )
