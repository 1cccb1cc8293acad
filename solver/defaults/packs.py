"""Hardware in the packs it usually comes in; what no pack is known for is listed singly."""

from __future__ import annotations

from collections.abc import Iterator

from solver.catalogue import Hardware, Pack
from solver.defaults.profiles import MEMORY
from solver.lengths import Unit, mm, ticks

FITS_A_PROFILE = (Hardware.CORNER, Hardware.BAR_CLIP)
CORNER_PACKS = (4, 25, 100)
SPLINE_FEET = (25, 100, 500)
SPLINE_METRES = (10, 30, 150)


def packs(unit: Unit, profiles: tuple[str, ...], splines: tuple[str, ...]) -> Iterator[Pack]:
    """Yield corners and spline in packs, everything else singly or by the foot or metre."""
    for profile in profiles:
        for size in CORNER_PACKS:
            yield Pack(
                name=f"corners {profile} x {size}", hardware=Hardware.CORNER, size=size, fits=profile, source=MEMORY
            )
        yield Pack(name=f"cross bar clip {profile}", hardware=Hardware.BAR_CLIP, size=1, fits=profile, source=MEMORY)
    name, running = ("ft", ticks(1, "ft")) if unit is Unit.INCH else ("m", mm(1_000))
    for spline in splines:
        for length in SPLINE_FEET if unit is Unit.INCH else SPLINE_METRES:
            yield Pack(
                name=f"spline {spline} x {length} {name}",
                hardware=Hardware.SPLINE,
                size=length * running,
                fits=spline,
                source=MEMORY,
            )
    for hardware in Hardware:
        if hardware not in (*FITS_A_PROFILE, Hardware.SPLINE):
            size, each = (
                (running, f" by the {'foot' if unit is Unit.INCH else 'metre'}") if hardware.by_length else (1, "")
            )
            yield Pack(name=f"{hardware.value}{each}", hardware=hardware, size=size, source="pack size not known")
