"""What brings a plunge feed to a limit: another wheel speed, or another target inside the band."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Change
from gen.bounds import changes
from gen.physics.contact import aggressiveness, feed_for, peripheral_speed
from gen.shop.wheel import Wheel


def lower_feed(wheel: Wheel, most: float) -> Iterator[Change]:
    """Changes after which the plunge feed is ``most`` mm/min at the highest."""
    angle = float(wheel.angle)
    yield from changes.slower(wheel, _speed_for(wheel, most))
    yield from changes.target(wheel, aggressiveness(most, max(_speeds(wheel)), angle), "down")


def higher_feed(wheel: Wheel, least: float) -> Iterator[Change]:
    """Changes after which the plunge feed is ``least`` mm/min at the lowest."""
    angle = float(wheel.angle)
    yield from changes.faster(wheel, _speed_for(wheel, least))
    yield from changes.target(wheel, aggressiveness(least, min(_speeds(wheel)), angle), "up")


def wanted_feed(wheel: Wheel, size: float) -> float:
    """The plunge feed in mm/min that recipe and target ask for with a wheel of ``size`` mm, before any rounding."""
    return feed_for(float(wheel.settings.aggressiveness), dress_speed(wheel, size), float(wheel.angle))


def dress_speed(wheel: Wheel, size: float) -> float:
    """The wheel speed in m/s during a dress with a wheel of ``size`` mm, before any rounding."""
    settings, diameter = wheel.settings, wheel.nominal_diameter(size)
    if settings.wheel_speed is None:
        return peripheral_speed(diameter, wheel.asked_rpm(size))
    if wheel.asked_rpm(size) > wheel.rpm_cap:
        return peripheral_speed(diameter, wheel.rpm_cap)
    return float(settings.wheel_speed)


def _speeds(wheel: Wheel) -> list[float]:
    return [dress_speed(wheel, float(size)) for size in wheel.size_range]


def _speed_for(wheel: Wheel, feed: float) -> float:
    return feed / feed_for(float(wheel.settings.aggressiveness), 1.0, float(wheel.angle))
