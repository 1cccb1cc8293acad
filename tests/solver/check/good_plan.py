"""One small plan worked out by hand, for the checker's tests.

Opening 33 1/4 x 47 3/8, channel bottoms, clearance 1/8: frame 33 1/8 x 47 1/4;
corner legs 3/4: rails 31 5/8 and 45 3/4; blank 1 in beyond on each side:
35 1/8 x 49 1/4. Two 96 in sticks, each trim 1/4 + 45 3/4 + kerf 1/8 + 31 5/8 +
kerf 1/8, offcut 18 1/8. One crosscut of 49 1/4 from a 1,200 in roll.
"""

from __future__ import annotations

from solver.catalogue import Hardware
from solver.lengths import Ticks, inches
from solver.limits import Ending
from solver.money import Cents
from solver.plan import (
    ByHand,
    Crosscut,
    CutBlank,
    CutRail,
    CutRoll,
    CutStick,
    MeshLeftover,
    Need,
    Place,
    Plan,
    Proof,
    PurchaseLine,
    Rail,
    RollGroup,
    Screen,
    StickGroup,
    Strip,
)
from solver.problem import Problem
from tests.builders import COLOUR, MESH, PROFILE, pack, problem

SPLINE = Ticks(-(-2 * (inches(33, 1, 8) + inches(47, 1, 4)) * 105 // 100))


def good_problem() -> Problem:
    packs = (
        pack(Hardware.CORNER, 4, 300),
        pack(Hardware.SPRING, 2, 150),
        pack(Hardware.TAB, 2, 100),
        pack(Hardware.SPLINE, inches(300), 400),
        pack(Hardware.LABEL, 1, 5),
        pack(Hardware.FALL_LABEL, 1, 5),
    )
    return problem(packs=packs, currency="EUR")


def good_plan() -> Plan:
    short, tall = inches(31, 5, 8), inches(45, 3, 4)
    screen = Screen(
        opening="A-101",
        quantity=1,
        profile=PROFILE,
        colour=COLOUR,
        mesh=MESH,
        frame_width=inches(33, 1, 8),
        frame_height=inches(47, 1, 4),
        rails=(
            Rail(place=Place.TOP, length=short),
            Rail(place=Place.BOTTOM, length=short),
            Rail(place=Place.LEFT, length=tall),
            Rail(place=Place.RIGHT, length=tall),
        ),
        blank_width=inches(35, 1, 8),
        blank_height=inches(49, 1, 4),
        needs=(
            Need(hardware=Hardware.CORNER, amount=4, fits=PROFILE),
            Need(hardware=Hardware.SPRING, amount=2),
            Need(hardware=Hardware.TAB, amount=2),
            Need(hardware=Hardware.SPLINE, amount=SPLINE, fits="0.160"),
            Need(hardware=Hardware.LABEL, amount=1),
            Need(hardware=Hardware.FALL_LABEL, amount=1),
        ),
        arithmetic=(),
    )
    return Plan(
        name="job",
        currency="EUR",
        screens=(screen,),
        stick_groups=(
            StickGroup(
                profile=PROFILE,
                colour=COLOUR,
                joint_kerf=inches(0, 1, 8),
                sticks=(_stick(1, Place.LEFT, Place.TOP), _stick(2, Place.RIGHT, Place.BOTTOM)),
                proof=Proof(measure="cents", cost=1_600, bound=1_600, ending=Ending.PROVEN),
                by_hand=ByHand(words="first fit", cost=1_600),
            ),
        ),
        roll_groups=(
            RollGroup(
                mesh=MESH,
                rolls=(_roll(),),
                leftovers=(_roll_end(),),
                proof=Proof(measure="cents", cost=6_000, bound=6_000, ending=Ending.PROVEN),
                by_hand=ByHand(words="shelves", cost=6_000),
            ),
        ),
        purchases=(
            _line("8 ft", 1, need=2, buy=2, price=800),
            _line("48 in x 100 ft", 1, need=1, buy=1, price=6_000),
            _line("corner x 4", 4, need=4, buy=1, price=300),
            _line("tension spring x 2", 2, need=2, buy=1, price=150),
            _line("pull tab x 2", 2, need=2, buy=1, price=100),
            _line(f"spline x {inches(300)}", inches(300), need=SPLINE, buy=1, price=400),
            _line("label x 1", 1, need=1, buy=1, price=5),
            _line("fall caution label x 1", 1, need=1, buy=1, price=5),
        ),
        total=Cents(8_560),
        bound=Cents(8_560),
        by_hand=Cents(8_560),
        notices=(),
        assumed=(),
    )


def _stick(number: int, upright: Place, level: Place) -> CutStick:
    rails = (
        CutRail(opening="A-101", copy=1, place=upright, length=inches(45, 3, 4)),
        CutRail(opening="A-101", copy=1, place=level, length=inches(31, 5, 8)),
    )
    return CutStick(number=number, stock="8 ft", length=inches(96), rails=rails, offcut=inches(18, 1, 8), kept=True)


def _roll() -> CutRoll:
    blank = CutBlank(opening="A-101", copy=1, across=inches(35, 1, 8), along=inches(49, 1, 4), turned=False)
    crosscut = Crosscut(number=1, length=inches(49, 1, 4), strips=(Strip(width=inches(35, 1, 8), blanks=(blank,)),))
    return CutRoll(
        number=1,
        stock="48 in x 100 ft",
        width=inches(48),
        length=inches(1_200),
        crosscuts=(crosscut,),
        used=inches(49, 1, 4),
        left=inches(1_150, 3, 4),
        kept=True,
    )


def _roll_end() -> MeshLeftover:
    return MeshLeftover(stock="48 in x 100 ft", roll=1, crosscut=None, width=inches(48), length=inches(1_150, 3, 4))


def _line(stock: str, size: int, *, need: int, buy: int, price: int) -> PurchaseLine:
    return PurchaseLine(
        stock=stock,
        what=stock,
        size=size,
        by_length=False,
        need=need,
        on_hand=0,
        buy=buy,
        price=Cents(price),
        cost=Cents(price * buy),
        left=buy * size - need,
        supplier="",
        why="",
    )
