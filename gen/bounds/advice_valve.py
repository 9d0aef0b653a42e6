"""What a timed feeder's valve makes of the target, and what brings both of its ends into the band."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from gen.base.finding import Change
from gen.base.quantities import plain
from gen.bounds import changes
from gen.bounds.changes import stepped
from gen.physics.contact import aggressiveness, feed_for, peripheral_speed
from gen.physics.valve import Valve
from gen.shop.wheel import Wheel


def aggressiveness_ends(wheel: Wheel, valve: Valve, size: float, rpm: float) -> tuple[float, float]:
    """The least aggressiveness with a slow valve and the greatest with a fast one, at a wheel of ``size`` mm.

    On a cup the inside edge is slower than the middle of the rim, so that it has the greatest.
    """
    angle = float(wheel.angle)
    speeds = [peripheral_speed(at, rpm) for at in wheel.working_diameters(size)]
    slow, fast = (float(rate) for rate in valve.rates)
    return aggressiveness(slow, max(speeds), angle), aggressiveness(fast, min(speeds), angle)


def better_valve(wheel: Wheel, valve: Valve) -> Iterator[Change]:
    """Another setting of the valve, another wheel speed, or a valve that keeps closer to its setting."""
    wanted = [wheel.target_feed(float(size)) for size in wheel.size_range]
    yield from valve_set(wheel, sum(wanted) / len(wanted))
    target = float(wheel.settings.aggressiveness)
    at_target = float(valve.rate) / feed_for(target, 1.0, float(wheel.angle))
    yield from changes.wheel_speed(wheel, at_target, "down")
    yield from changes.wheel_speed(wheel, at_target, "up")
    yield from closer_valve(valve, _room(wheel, valve))


def valve_set(wheel: Wheel, rate: float) -> Iterator[Change]:
    """The valve set to ``rate`` mm/min, or to a little less that somebody can set."""
    inch = wheel.machine.units == "inch"
    unit, step = (Decimal("25.4"), Decimal("0.1")) if inch else (Decimal(1), Decimal(1))
    number = stepped(Decimal(repr(rate)) / unit, step, "down")
    if number > 0:
        text = f"{plain(number, 1, strip=True)} {'in/min' if inch else 'mm/min'}"
        yield Change("machine", "dresser.rate", text, f"With the valve set to {text} it fits.")


def closer_valve(valve: Valve, share: float) -> Iterator[Change]:
    """A valve that is no more than ``share`` of its rate off, in steps of half a percent."""
    percent = stepped(100 * share, Decimal("0.5"), "down")
    if 0 < percent < valve.tolerance * 100:
        text = f"{plain(percent, 1, strip=True)} %"
        yield Change("machine", "dresser.rate_tolerance", text, f"With a valve that keeps within {text} it fits.")


def _room(wheel: Wheel, valve: Valve) -> float:
    """How far, as a share, the rate may be off with every wheel before the band is left; below 0 it already is."""
    low, high = (float(end) for end in wheel.settings.band)
    exact, sizes = replace(valve, tolerance=Decimal(0)), [float(size) for size in wheel.size_range]
    ends = [aggressiveness_ends(wheel, exact, size, wheel.rpm(size)) for size in sizes]
    return min(min(high / hardest - 1, 1 - low / gentlest) for gentlest, hardest in ends)
