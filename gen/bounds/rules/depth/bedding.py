"""A plunge goes deeper than the bedding-in, after which the whole width of the stick cuts.

Why: An inclined or tapered contact begins at one edge; until it has bedded in, the rest stays closed.
Example: A plunge of 1.5 mm at 15 degrees ends before the whole width cuts, which takes 2.7 mm.
Helps: A deeper plunge; of a timed feeder also a valve that keeps closer to its rate.
"""

from collections.abc import Iterator
from decimal import Decimal

from gen.bounds import changes
from gen.bounds.advice_valve import closer_valve
from gen.bounds.kit import NOISE, Change, Dress, Found, Measure, Units, bound


@bound("plunge-depth")
def check(dress: Dress, units: Units) -> Found:
    needed = max(wheel.geometry.bedding for wheel in dress.wheels)
    if not needed and dress.dresser.valve is None:
        return
    least = float(dress.depths[0])
    yield Measure(
        "bedding",
        least,
        needed,
        "least",
        "length",
        slack=-NOISE,  # a plunge that only just beds in opens nothing
        told=needed > 0,
        said=lambda: _said(dress, units, least, needed),
        helps=lambda: _helps(dress, needed),
    )


def _said(dress: Dress, units: Units, least: float, needed: float) -> str:
    planned = units.mm(float(dress.settings.plunge))
    if dress.dresser.valve is None:
        return f"a plunge of {planned} ends before the whole width of the stick cuts, which takes {units.mm(needed)}."
    reached = f"no more than {units.mm(least)} deep" if least > 0 else "not as far as the wheel"
    cuts = f"; the whole width cuts after {units.mm(needed)}" if needed else ""
    return f"with its valve at the slow end the feeder goes {reached} in the time for {planned}{cuts}."


def _helps(dress: Dress, needed: float) -> Iterator[Change]:
    valve = dress.dresser.valve
    if valve is None:
        yield from changes.plunge(dress, needed + 0.05, "up")
        return
    planned, least = dress.settings.plunge, Decimal(repr(needed))
    yield from changes.plunge(dress, (least + valve.in_air) / (1 - valve.tolerance) + Decimal("0.05"), "up")
    yield from closer_valve(valve, float((planned - least - valve.in_air) / planned) - 1e-4)
