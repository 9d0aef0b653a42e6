"""Aggressiveness is within the recipe's band over the whole wear range, on a cup also at the rim's inside edge."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Change, Fault
from gen.base.quantities import plain
from gen.bounds import changes
from gen.bounds.advice_valve import aggressiveness_ends, better_valve
from gen.bounds.case import Case
from gen.bounds.contacts import Plunge
from gen.bounds.registry import rule
from gen.bounds.rounding import FEED_ROUNDING
from gen.physics.contact import aggressiveness, edge_share, peripheral_speed, working_diameters
from gen.shop.wheel import Wheel


@rule("aggressiveness")
def check(case: Case) -> Iterator[Fault]:
    for plunge in case.contacts.plunges:
        if not plunge.feed or not plunge.rpm:
            continue
        if case.known.timed:
            yield from _valve(case, plunge)
        else:
            for line, feed in case.feeds(plunge):
                yield from _fed(case, case.of(plunge), line, feed, plunge.rpm)


def _fed(case: Case, wheel: Wheel, line: int, feed: float, rpm: float) -> Iterator[Fault]:
    low, high = (float(end) for end in wheel.settings.band)
    angle, geometry = float(wheel.angle), wheel.geometry
    diameter = wheel.diameter_at(case.size_of(wheel))
    for inside, at in _places(wheel, diameter):
        speed = peripheral_speed(at, rpm)
        value, slack = aggressiveness(feed, speed, angle), aggressiveness(FEED_ROUNDING, speed, angle)
        if not low - slack <= value <= high + slack:
            where = "at the inside edge of the rim " if inside else ""
            yield Fault(
                line,
                f"aggressiveness is {_plain(value)} {where}({case.feed(feed)} at {case.speed(speed)}); "
                f"the band is {_plain(low)} to {_plain(high)}.",
                tuple(_changes(wheel, value, low, high)),
                amount=max(low / value, value / high),
            )
    if not wheel.face and geometry.stick_height < diameter:
        edge = aggressiveness(feed, peripheral_speed(diameter, rpm), angle)
        edge *= edge_share(geometry.stick_height, diameter)
        if edge < low - slack:
            yield Fault(
                line,
                f"aggressiveness falls to {_plain(edge)} at the edges of a stick {case.mm(geometry.stick_height)} "
                f"high {case.here}; the band begins at {_plain(low)}.",
                severity="warning",
                amount=low / edge,
            )


def _places(wheel: Wheel, diameter: float) -> Iterator[tuple[bool, float]]:
    """Every diameter that must be in band, and whether it is a rim's inside edge; a cup's over its range of diameters.

    A cup's program knows its gauge alone, so that it runs one speed and one
    feed whatever is left of its diameter.
    """
    worn, new = (float(end) for end in wheel.keys.diameter)
    for outside in dict.fromkeys((new, worn)) if wheel.face else (diameter,):
        for place, at in enumerate(working_diameters(wheel.geometry, outside)):
            yield bool(place), at


def _valve(case: Case, plunge: Plunge) -> Iterator[Fault]:
    """A timed feeder's valve may run slow or fast, and no program can tell."""
    dress = case.known
    low, high = (float(end) for end in dress.first.settings.band)
    rpm = plunge.rpm or 1.0
    ends = aggressiveness_ends(dress.first, case.wheel_size, rpm)
    slack = ends[1] * 0.5 / rpm  # the speed is rounded to whole rpm
    if low - slack <= ends[0] and ends[1] <= high + slack:
        return
    tolerance = plain(dress.valve.tolerance * 100, 2, strip=True)
    yield Fault(
        plunge.line,
        f"the valve's {case.feed(float(dress.valve.rate))}, {tolerance} % off either way, gives an aggressiveness from "
        f"{_plain(ends[0])} to {_plain(ends[1])} {case.here}; the band is {_plain(low)} to {_plain(high)}.",
        tuple(better_valve(dress.first)),
        amount=max(low / ends[0], ends[1] / high),
    )


def _changes(wheel: Wheel, value: float, low: float, high: float) -> Iterator[Change]:
    """A target that brings the worst place into the band."""
    asked = float(wheel.settings.aggressiveness)
    if value > high:
        yield from changes.target(wheel, asked * high / value, "down")
    else:
        yield from changes.target(wheel, asked * low / value, "up")


def _plain(value: float) -> str:
    return plain(value, 1, strip=True)
