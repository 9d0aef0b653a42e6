"""Wheel speed as the spindle makes it, and what becomes of it where a limit caps the spindle."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.physics.contact import peripheral_speed, rotation
from gen.shop.facts import Facts


def wheel_speed_at(facts: Facts, size: float, rpm: float) -> float:
    """The speed in m/s that the recipe means (at D, or the middle of a cup's rim) at ``rpm``."""
    return peripheral_speed(facts.nominal_diameter(size), rpm)


def capped(case: Case, facts: Facts, limit: float, why: str) -> Iterator[Fault]:
    """A warning where the speed asked for is held over part of the wear only, ``limit`` rpm being the most."""
    worn = float(facts.size_range[0])
    dress = facts.dress
    if dress.wheel_speed is None or facts.face or facts.asked_rpm(worn) <= facts.rpm_cap:
        return
    speed = float(dress.wheel_speed)
    below = rotation(speed, facts.rpm_cap)  # D = 60000 v / (π n), the same formula with n in place of D
    yield Fault(
        None,
        f"below a wheel of {case.mm(below)} the spindle is held at {facts.rpm_cap} rpm, as {why}; {case.speed(speed)} "
        f"falls to {case.speed(wheel_speed_at(facts, worn, facts.rpm_cap))} on the worn wheel, and the feed with it.",
        severity="warning",
    )
