"""What brings a plunge feed to a limit: another wheel speed, or another target inside the band."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Change
from gen.bounds import changes
from gen.physics.contact import aggressiveness, feed_for
from gen.shop.wheel import Wheel


def feed_within(wheel: Wheel, limit: float, side: changes.RoundTo) -> Iterator[Change]:
    """Changes after which the plunge feed is no more (``down``) or no less (``up``) than ``limit`` mm/min."""
    asked, angle = float(wheel.settings.aggressiveness), float(wheel.angle)
    yield from changes.wheel_speed(wheel, limit / feed_for(asked, 1.0, angle), side)
    speeds = [dress_speed(wheel, float(size)) for size in wheel.size_range]
    worst = max(speeds) if side == "down" else min(speeds)
    yield from changes.target(wheel, aggressiveness(limit, worst, angle), side)


def wanted_feed(wheel: Wheel, size: float) -> float:
    """The plunge feed in mm/min that recipe and target ask for with a wheel of ``size`` mm, before any rounding."""
    return feed_for(float(wheel.settings.aggressiveness), dress_speed(wheel, size), float(wheel.angle))


def dress_speed(wheel: Wheel, size: float) -> float:
    """The wheel speed in m/s during a dress with a wheel of ``size`` mm, before any rounding."""
    asked = wheel.settings.wheel_speed
    if asked is None or wheel.asked_rpm(size) > wheel.rpm_cap:
        return wheel.speed_at(size, wheel.rpm(size))
    return float(asked)
