"""A timed feeder's valve keeps aggressiveness within the band at both ends of its tolerance.

Why: The valve may run slow or fast, and no program can tell.
Example: The valve's 300 mm/min, 10 % off either way, gives 225 to 305; the band is 200 to 300.
Helps: Another setting of the valve, another wheel speed, or a valve that keeps closer to its setting.
"""

from dataclasses import replace
from functools import partial

from gen.base.quantities import plain
from gen.bounds.advice_valve import aggressiveness_ends, better_valve
from gen.bounds.kit import Contacts, Dress, Found, Measure, Units, Wear, Wheel, bound
from gen.bounds.rounding import RPM_ROUNDING
from gen.physics.valve import Valve


@bound("aggressiveness")
def check(dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    wheel, valve = dress.first, dress.dresser.valve
    if valve is None:
        return
    low, high = (float(end) for end in wheel.settings.band)
    for plunge in contacts.plunges:
        if not plunge.feed or not plunge.rpm:
            continue
        ends = aggressiveness_ends(wheel, valve, wear.size_of(wheel), plunge.rpm)
        least = Measure(
            "valve",
            ends[0],
            low,
            "least",
            of=str(wheel.number or ""),
            slack=ends[1] * RPM_ROUNDING / plunge.rpm,
            line=plunge.line,
            said=partial(_said, wheel, valve, wear, units, ends),
            helps=partial(better_valve, wheel, valve),
        )
        yield least
        yield replace(least, value=ends[1], limit=high, side="most")


def _said(wheel: Wheel, valve: Valve, wear: Wear, units: Units, ends: tuple[float, float]) -> str:
    low, high, least, most = (plain(float(end), 1, strip=True) for end in (*ends, *wheel.settings.band))
    return (
        f"the valve's {units.feed(float(valve.rate))}, {plain(valve.tolerance * 100, 2, strip=True)} % off either way, "
        f"gives an aggressiveness from {low} to {high} {wear.here}; the band is {least} to {most}."
    )
