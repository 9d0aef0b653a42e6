"""Aggressiveness is within the recipe's band over the whole wear range, wherever the wheel works.

Why: Too gentle does almost nothing; too hard strips good diamonds. A cup's inside edge and a taper's small end run
slower than the middle and are dressed harder.
Example: Aggressiveness is 325 at the small end (300 mm/min at 15.4 m/s); the band is 200 to 300.
Helps: A target at which the worst place is within the band.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from gen.base.quantities import plain
from gen.bounds import changes
from gen.bounds.kit import Change, Contacts, Dress, Found, Measure, Units, Wear, Wheel, bound
from gen.bounds.rounding import FEED_ROUNDING
from gen.physics.contact import aggressiveness, peripheral_speed


@bound("aggressiveness")
def check(dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    if dress.dresser.valve is not None:
        return
    for plunge in contacts.plunges:
        wheel = dress.wheels[plunge.wheel]
        for line, feed in plunge.feeds if plunge.rpm else ():
            diameters = wheel.working_diameters(wear.size_of(wheel))
            # all others lie between the nominal diameter, the greatest, and the one that runs slowest
            for place, at in enumerate(dict.fromkeys((diameters[0], min(diameters)))):
                yield from _measured(wheel, units, line, feed, place, peripheral_speed(at, plunge.rpm or 1.0))


def _measured(wheel: Wheel, units: Units, line: int, feed: float, place: int, speed: float) -> Iterator[Measure]:
    angle = float(wheel.angle)
    value, slack = aggressiveness(feed, speed, angle), aggressiveness(FEED_ROUNDING, speed, angle)
    low, high = (float(end) for end in wheel.settings.band)
    least = Measure(
        "aggressiveness" if place == 0 else "inside-edge" if wheel.face else "small-end",
        value,
        low,
        "least",
        of=str(wheel.number or ""),
        slack=slack,
        line=line,
        said=partial(_said, wheel, units, value, feed, speed, place),
        helps=partial(_helps, wheel, value),
    )
    yield least
    yield replace(least, limit=high, side="most")


def _said(wheel: Wheel, units: Units, value: float, feed: float, speed: float, place: int) -> str:
    low, high = (_plain(float(end)) for end in wheel.settings.band)
    where = "" if place == 0 else "at the inside edge of the rim " if wheel.face else "at the small end "
    return (
        f"aggressiveness is {_plain(value)} {where}({units.feed(feed)} at {units.speed(speed)}); "
        f"the band is {low} to {high}."
    )


def _helps(wheel: Wheel, value: float) -> Iterator[Change]:
    """A target that brings the worst place into the band."""
    asked = float(wheel.settings.aggressiveness)
    low, high = (float(end) for end in wheel.settings.band)
    if value > high:
        yield from changes.target(wheel, asked * high / value, "down")
    else:
        yield from changes.target(wheel, asked * low / value, "up")


def _plain(value: float) -> str:
    return plain(value, 1, strip=True)
