"""The recipe asks for no more than the wheel's marking allows, and says where a cap holds the spindle back.

Why: A cap would hold the spindle back, and the wheel would be dressed at another speed than the recipe says.
Example: The recipe asks for 9700 rpm with a new wheel; its marking allows 9625 rpm.
Helps: A lower wheel speed.
"""

import math
from collections.abc import Iterator
from functools import partial

from gen.bounds import changes
from gen.bounds.kit import MOVING, NOISE, Change, Contacts, Dress, Found, Measure, Units, Wear, Wheel, bound
from gen.bounds.rounding import RPM_ROUNDING
from gen.bounds.rules.spindle.capped import capped
from gen.physics.contact import peripheral_speed


@bound("wheel-speed", intents=MOVING)
def check(dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    allowed = math.floor(dress.marked_rpm + NOISE)
    for wheel in dress.wheels:
        new = float(wheel.size_range[1])
        rpm = wheel.asked_rpm(new)
        said, helps = partial(_said, wheel, units, rpm, allowed), partial(_helps, wheel, allowed)
        # half a revolution is rounding, and the program's speed is capped below the marking in any case
        slack = dress.marked_rpm + RPM_ROUNDING - allowed
        yield Measure("marking", rpm, allowed, "most", "rotation", slack=slack, said=said, helps=helps)
        outer, limit = float(wheel.keys.diameter[1]), _marked_speed(wheel)
        speeds = [(peripheral_speed(outer, rpm), peripheral_speed(outer, slack))]
        for plunge in contacts.plunges:
            if plunge.wheel == wheel.index and plunge.rpm:
                at = wheel.diameter_at(wear.size_of(wheel))
                speeds.append((peripheral_speed(at, plunge.rpm), NOISE))
        for speed, off in speeds:
            yield Measure(
                "wheel-speed",
                speed,
                limit,
                "most",
                "peripheral",
                of=str(wheel.number or ""),
                slack=off,
                said=said,
                helps=helps,
            )
        if rpm <= dress.marked_rpm + RPM_ROUNDING and dress.marked_rpm < float(dress.machine.spindle.speed[1]):
            yield from capped(wheel, units, "its marking allows no more")


def _marked_speed(wheel: Wheel) -> float:
    """The most that the wheel's own marking allows at its periphery when new, m/s."""
    keys = wheel.keys
    marks = [] if keys.max_rpm is None else [peripheral_speed(float(keys.diameter[1]), float(keys.max_rpm))]
    marks += [] if keys.max_speed is None else [float(keys.max_speed)]
    return min(marks)


def _said(wheel: Wheel, units: Units, rpm: float, allowed: int) -> str:
    speed = units.speed(wheel.speed_at(float(wheel.size_range[1]), rpm))
    return f"the recipe asks for {rpm:g} rpm with a new wheel ({speed}); its marking allows {allowed} rpm."


def _helps(wheel: Wheel, allowed: int) -> Iterator[Change]:
    yield from changes.wheel_speed(wheel, wheel.speed_at(float(wheel.size_range[1]), allowed), "down")
