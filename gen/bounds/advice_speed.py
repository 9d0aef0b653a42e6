"""Wheel speed as the spindle makes it, and what becomes of it where a limit caps the spindle."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.physics.contact import peripheral_speed, rotation
from gen.shop.wheel import Wheel


def wheel_speed_at(wheel: Wheel, size: float, rpm: float) -> float:
    """The speed in m/s that the recipe means (at D, or the middle of a cup's rim) at ``rpm``."""
    return peripheral_speed(wheel.nominal_diameter(size), rpm)


def capped(case: Case, wheel: Wheel, limit: float, why: str) -> Iterator[Fault]:
    """A warning where the speed asked for is held over part of the wear only, ``limit`` rpm being the most."""
    worn = float(wheel.size_range[0])
    if wheel.settings.wheel_speed is None or wheel.face or wheel.asked_rpm(worn) <= wheel.rpm_cap:
        return
    speed = float(wheel.settings.wheel_speed)
    below = rotation(speed, wheel.rpm_cap)  # D = 60000 v / (π n), the same formula with n in place of D
    yield Fault(
        None,
        f"below a wheel of {case.mm(below)} the spindle is held at {wheel.rpm_cap} rpm, as {why}; {case.speed(speed)} "
        f"falls to {case.speed(wheel_speed_at(wheel, worn, wheel.rpm_cap))} on the worn wheel, and the feed with it.",
        severity="warning",
    )
