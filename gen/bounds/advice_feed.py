"""What brings a plunge feed to a limit: another wheel speed, or another target inside the band."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Change
from gen.bounds import changes
from gen.physics.contact import aggressiveness, feed_for, peripheral_speed
from gen.shop.facts import Facts


def lower_feed(facts: Facts, most: float) -> Iterator[Change]:
    """Changes after which the plunge feed is ``most`` mm/min at the highest."""
    angle = float(facts.angle)
    yield from changes.slower(facts, _speed_for(facts, most))
    yield from changes.target(facts, aggressiveness(most, max(_speeds(facts)), angle), "down")


def higher_feed(facts: Facts, least: float) -> Iterator[Change]:
    """Changes after which the plunge feed is ``least`` mm/min at the lowest."""
    angle = float(facts.angle)
    yield from changes.faster(facts, _speed_for(facts, least))
    yield from changes.target(facts, aggressiveness(least, min(_speeds(facts)), angle), "up")


def wanted_feed(facts: Facts, size: float) -> float:
    """The plunge feed in mm/min that recipe and target ask for with a wheel of ``size`` mm, before any rounding."""
    return feed_for(float(facts.dress.aggressiveness), dress_speed(facts, size), float(facts.angle))


def dress_speed(facts: Facts, size: float) -> float:
    """The wheel speed in m/s during a dress with a wheel of ``size`` mm, before any rounding."""
    dress, diameter = facts.dress, facts.nominal_diameter(size)
    if dress.wheel_speed is None:
        return peripheral_speed(diameter, facts.asked_rpm(size))
    if facts.asked_rpm(size) > facts.rpm_cap:
        return peripheral_speed(diameter, facts.rpm_cap)
    return float(dress.wheel_speed)


def _speeds(facts: Facts) -> list[float]:
    return [dress_speed(facts, float(size)) for size in facts.size_range]


def _speed_for(facts: Facts, feed: float) -> float:
    return feed / feed_for(float(facts.dress.aggressiveness), 1.0, float(facts.angle))
