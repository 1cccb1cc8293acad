"""Plans made by hand, small enough to check with a pencil, for everything that is written from a plan."""

from __future__ import annotations

from dataclasses import replace

from solver.catalogue import Catalogue, Hardware, Mesh, Pack, Profile, RollStock, StickStock
from solver.lengths import Ticks, Unit, inches, mm
from solver.limits import Ending
from solver.money import Cents
from solver.openings import Opening
from solver.plan import (
    Alternative,
    Basket,
    ByHand,
    Crosscut,
    CutBlank,
    CutRail,
    CutRoll,
    CutStick,
    Kind,
    KitContent,
    KitUse,
    MeshLeftover,
    Need,
    Notice,
    Place,
    Plan,
    Proof,
    PurchaseLine,
    Rail,
    RollGroup,
    Screen,
    StickGroup,
    StillPossible,
    Strip,
)
from solver.problem import Problem
from solver.rules import Rules

KERF = inches(0, 1, 8)
LEVEL = (Place.TOP, Place.BOTTOM)
UPRIGHT = (Place.LEFT, Place.RIGHT)


def rails(opening: str, copy: int, places: tuple[Place, ...], length: Ticks) -> tuple[CutRail, ...]:
    """Return equal rails of one screen."""
    return tuple(CutRail(opening=opening, copy=copy, place=place, length=length) for place in places)


def screen(
    opening: str, quantity: int, frame: tuple[Ticks, Ticks], leg: Ticks, allowance: Ticks, profile: str, mesh: str
) -> Screen:
    """Return a screen with four rails, two springs on top, two tabs below, and its spline."""
    width, height = frame
    level, upright = Ticks(width - 2 * leg), Ticks(height - 2 * leg)
    return Screen(
        opening=opening,
        quantity=quantity,
        profile=profile,
        colour="white",
        mesh=mesh,
        frame_width=width,
        frame_height=height,
        rails=(
            *(Rail(place=place, length=level) for place in LEVEL),
            *(Rail(place=place, length=upright) for place in UPRIGHT),
        ),
        blank_width=Ticks(width + 2 * allowance),
        blank_height=Ticks(height + 2 * allowance),
        needs=(
            Need(hardware=Hardware.CORNER, amount=4, fits=profile),
            Need(hardware=Hardware.SPRING, amount=2, place="top"),
            Need(hardware=Hardware.TAB, amount=2, place="bottom"),
            Need(hardware=Hardware.SPLINE, amount=2 * (width + height), fits="0.160"),
        ),
        arithmetic=("width: 33 1/4 - 1/8 clearance = 33 1/8", "level rails: 33 1/8 - 2 x 3/4 corners = 31 5/8"),
    )


def inch_job() -> tuple[Problem, Plan]:
    """Return two openings, three screens, with prices, a leftover stick, a turned three-stage strip and cautions."""
    problem = Problem(
        name="Birch Court",
        currency="USD",
        openings=(
            Opening(
                label="B2-101-LR",
                widths=(inches(33, 1, 4), inches(33, 5, 16)),
                heights=(inches(47, 3, 8),),
                building="B2",
                floor="1",
                unit="101",
                room="living",
                order="A-17",
                profile="5/16",
                mesh="charcoal",
            ),
            Opening(
                label="type C",
                widths=(inches(20, 1, 8),),
                heights=(inches(24, 1, 8),),
                quantity=2,
                profile="5/16",
                mesh="charcoal",
                rules=Rules(bar_above=inches(40)),
            ),
        ),
        catalogue=Catalogue(
            profiles=(Profile(name="5/16", thickness=inches(0, 5, 16), face=inches(0, 3, 4)),),
            meshes=(Mesh(name="charcoal"),),
            sticks=(
                StickStock(name="8 ft white", profile="5/16", colour="white", length=inches(96), price=Cents(1250)),
                StickStock(
                    name="rest of 70",
                    profile="5/16",
                    colour="white",
                    length=inches(70),
                    on_sale=False,
                    on_hand=1,
                    leftover=True,
                ),
            ),
            rolls=(
                RollStock(name="36 x 25 ft", mesh="charcoal", width=inches(36), length=inches(300), price=Cents(4900)),
            ),
            packs=(Pack(name="corners 25", hardware=Hardware.CORNER, size=25, fits="5/16", price=Cents(1500)),),
        ),
        assumed=("Saw cut 1/8 in: the job does not say.",),
    )
    tall = screen("B2-101-LR", 1, (inches(33, 1, 8), inches(47, 1, 4)), inches(0, 3, 4), inches(1), "5/16", "charcoal")
    small = screen("type C", 2, (inches(20), inches(24)), inches(0, 3, 4), inches(1), "5/16", "charcoal")
    return problem, Plan(
        name=problem.name,
        currency="USD",
        screens=(tall, small),
        stick_groups=(_inch_sticks(),),
        roll_groups=(_inch_rolls(),),
        purchases=_inch_purchases(),
        total=Cents(10_150),
        bound=Cents(10_000),
        by_hand=Cents(11_400),
        notices=(
            Notice(kind=Kind.NOTICE, topic="stock", message="One leftover stick is used."),
            Notice(kind=Kind.CAUTION, topic="fall", message="An insect screen does not stop a child from falling."),
            Notice(kind=Kind.REVIEW, topic="readings", message="Look again.", openings=("B2-101-LR",)),
        ),
        assumed=problem.assumed,
    )


def kit_job() -> tuple[Problem, Plan]:
    """Return the inch job as if one kit had been opened, with what else it might have been bought as."""
    problem, plan = inch_job()
    proof = Proof(measure="cents", cost=8650, bound=8650, ending=Ending.PROVEN)
    joint = replace(proof, joint="basket 1")
    sticks = replace(plan.stick_groups[0], proof=joint)
    first = replace(sticks.sticks[0], stock="kit 36", from_kit=True)
    contents = (
        KitContent(what="stick", there=4, used=3, length=inches(36)),
        KitContent(what="corner 5/16", there=4, used=4, hardware=Hardware.CORNER, fits="5/16"),
        KitContent(what="spline 0.160", there=inches(144), used=inches(140), by_length=True),
    )
    possible = StillPossible(
        profile="5/16",
        colour="white",
        mesh="charcoal",
        frame_width=inches(12),
        frame_height=inches(14),
        count=2,
        largest=True,
        missing=(Need(hardware=Hardware.CORNER, amount=8, fits="5/16"),),
    )
    return problem, replace(
        plan,
        stick_groups=(replace(sticks, sticks=(first, *sticks.sticks[1:])),),
        kits=(KitUse(kit="kit 36", profile="5/16", colour="white", buy=1, on_hand=0, contents=contents),),
        baskets=(
            Basket(
                name="basket 1",
                stick_groups=(("5/16", "white"),),
                roll_groups=("charcoal",),
                hardware=(Hardware.CORNER,),
                proof=proof,
            ),
        ),
        alternatives=(
            Alternative(name="one kit for each window", words="a retail kit a window", cost=Cents(12_000)),
            Alternative(name="loose stock only", words="no kits", cost=None),
        ),
        still_possible=(possible,),
    )


def _inch_sticks() -> StickGroup:
    long, middle, short, least = inches(45, 3, 4), inches(31, 5, 8), inches(22, 1, 2), inches(18, 1, 2)
    big, first, second = "B2-101-LR", ("type C", 1), ("type C", 2)
    cuts = (
        ("8 ft white", 96, rails(big, 1, UPRIGHT, long), inches(4)),
        ("8 ft white", 96, rails(big, 1, LEVEL, middle) + rails(*first, (Place.LEFT,), short), inches(9, 5, 8)),
        (
            "8 ft white",
            96,
            rails(*first, (Place.RIGHT,), short) + rails(*second, UPRIGHT, short) + rails(*first, (Place.TOP,), least),
            inches(9, 1, 4),
        ),
        ("rest of 70", 70, rails(*first, (Place.BOTTOM,), least) + rails(*second, LEVEL, least), inches(14, 1, 8)),
    )
    sticks = tuple(
        CutStick(
            number=number,
            stock=stock,
            length=inches(length),
            rails=cut,
            offcut=offcut,
            kept=offcut >= inches(12),
            bought=stock != "rest of 70",
        )
        for number, (stock, length, cut, offcut) in enumerate(cuts, start=1)
    )
    return StickGroup(
        profile="5/16",
        colour="white",
        joint_kerf=KERF,
        sticks=sticks,
        proof=Proof(measure="cents", cost=3750, bound=3750, ending=Ending.PROVEN),
        by_hand=ByHand(words="longest rail first, all sticks of one length", cost=5000),
    )


def _inch_rolls() -> RollGroup:
    tall = CutBlank(opening="B2-101-LR", copy=1, across=inches(35, 1, 8), along=inches(49, 1, 4), turned=False)
    turned = tuple(
        CutBlank(opening="type C", copy=copy, across=inches(26), along=inches(22), turned=True) for copy in (1, 2)
    )
    roll = CutRoll(
        number=1,
        stock="36 x 25 ft",
        width=inches(36),
        length=inches(300),
        crosscuts=(
            Crosscut(number=1, length=inches(49, 1, 4), strips=(Strip(width=inches(35, 1, 8), blanks=(tall,)),)),
            Crosscut(number=2, length=inches(44), strips=(Strip(width=inches(26), blanks=turned),)),
        ),
        used=inches(93, 1, 4),
        left=inches(206, 3, 4),
        kept=True,
    )
    end = MeshLeftover(stock="36 x 25 ft", roll=1, crosscut=None, width=inches(36), length=inches(206, 3, 4))
    return RollGroup(
        mesh="charcoal",
        rolls=(roll,),
        leftovers=(end,),
        proof=Proof(measure="cents", cost=4900, bound=4750, ending=Ending.SECONDS),
        by_hand=ByHand(words="longest blank first side by side", cost=None),
    )


def _line(**values: object) -> PurchaseLine:
    plain: dict[str, object] = {"by_length": False, "on_hand": 0, "left": 0, "supplier": "Screen Supply", "size": 1}
    return PurchaseLine(**{**plain, **values})  # type: ignore[arg-type]


def _inch_purchases() -> tuple[PurchaseLine, ...]:
    stick = {"what": "stick 5/16 white", "need": 3, "buy": 3, "price": Cents(1250), "cost": Cents(3750)}
    roll = {"what": "mesh charcoal", "need": 1, "buy": 1, "price": Cents(4900), "cost": Cents(4900)}
    packs = {"what": "corner 5/16", "need": 12, "buy": 1, "size": 25, "left": 13}
    spline = {"what": "spline 0.160", "need": inches(318, 3, 4), "buy": inches(318, 3, 4), "by_length": True}
    return (
        _line(stock="8 ft white", why="3 cut: 3 to buy", **stick),
        _line(stock="rest of 70", what="stick 5/16 white", need=1, on_hand=1, buy=0, price=None, cost=None, why="rack"),
        _line(stock="36 x 25 ft", why="1 roll", **roll),
        _line(stock="corners 25", why="12 corners", price=Cents(1500), cost=Cents(1500), **packs),
        _line(stock="", why="no pack is listed", price=None, cost=None, **spline),
    )


def metric_job() -> tuple[Problem, Plan]:
    """Return two equal screens in millimetres without prices: running length, equal neighbouring sticks."""
    rules = Rules(kerf=mm(3), end_trim=mm(5), selvage_trim=mm(10), useful_offcut=mm(300), crosscut_extra=mm(5))
    problem = Problem(
        name="Küche & Bad",
        unit=Unit.MM,
        rules=rules,
        openings=(Opening(label="Küche", widths=(mm(850),), heights=(mm(1203),), quantity=2, profile="9 mm"),),
        catalogue=Catalogue(
            profiles=(Profile(name="9 mm", thickness=mm(9), face=mm(24)),),
            meshes=(Mesh(name="grau"),),
            sticks=(StickStock(name="2500 roh", profile="9 mm", colour="", length=mm(2500)),),
            rolls=(RollStock(name="1 m vom Ballen", mesh="grau", width=mm(1000), step=mm(500)),),
        ),
    )
    made = replace(screen("Küche", 2, (mm(847), mm(1200)), mm(19), mm(25), "9 mm", "grau"), colour="")
    one = rails("Küche", 1, UPRIGHT, mm(1162))
    two = rails("Küche", 2, UPRIGHT, mm(1162))
    level = rails("Küche", 1, LEVEL, mm(809)) + rails("Küche", 2, (Place.TOP,), mm(809))
    rest = rails("Küche", 2, (Place.BOTTOM,), mm(809))
    cuts = ((one, mm(165)), (two, mm(165)), (level, mm(59)), (rest, mm(1683)))
    sticks = tuple(
        CutStick(number=n, stock="2500 roh", length=mm(2500), rails=cut, offcut=offcut, kept=offcut >= mm(300))
        for n, (cut, offcut) in enumerate(cuts, start=1)
    )
    crosscuts = tuple(
        Crosscut(number=copy, length=mm(1250), strips=(Strip(width=mm(897), blanks=(_metric_blank(copy),)),))
        for copy in (1, 2)
    )
    roll = CutRoll(
        number=1,
        stock="1 m vom Ballen",
        width=mm(1000),
        length=None,
        crosscuts=crosscuts,
        used=mm(2510),
        left=Ticks(0),
        kept=False,
    )
    area, bound = mm(1000) * mm(3000), mm(1000) * mm(2500)
    step = {"what": "mesh grau", "size": mm(500), "need": mm(2510), "buy": 6, "left": mm(490), "by_length": True}
    plan = Plan(
        name=problem.name,
        currency="",
        screens=(made,),
        stick_groups=(
            StickGroup(
                profile="9 mm",
                colour="",
                joint_kerf=mm(3),
                sticks=sticks,
                proof=Proof(measure="ticks", cost=4 * mm(2500), bound=4 * mm(2500), ending=Ending.PROVEN),
                by_hand=ByHand(words="longest rail first", cost=4 * mm(2500)),
            ),
        ),
        roll_groups=(
            RollGroup(
                mesh="grau",
                rolls=(roll,),
                leftovers=(),
                proof=Proof(measure="square ticks", cost=area, bound=bound, ending=Ending.WORK),
                by_hand=ByHand(words="side by side", cost=2 * area),
            ),
        ),
        purchases=(
            _line(stock="2500 roh", what="stick 9 mm", need=4, buy=4, price=None, cost=None, why="4 cut"),
            _line(stock="1 m vom Ballen", price=None, cost=None, why="6 steps", **step),
        ),
        total=None,
        bound=None,
        by_hand=None,
        notices=(),
        assumed=(),
    )
    return problem, plan


def _metric_blank(copy: int) -> CutBlank:
    return CutBlank(opening="Küche", copy=copy, across=mm(897), along=mm(1250), turned=False)
