"""What becomes of the wheel speed where a limit caps the spindle."""

from gen.bounds.kit import Fault, Found, Units, Wheel
from gen.physics.contact import rotation


def capped(wheel: Wheel, units: Units, why: str) -> Found:
    """A warning where the speed asked for is held over part of the wear only, for the reason ``why``."""
    worn = float(wheel.size_range[0])
    if wheel.settings.wheel_speed is None or wheel.face or wheel.asked_rpm(worn) <= wheel.rpm_cap:
        return
    speed = float(wheel.settings.wheel_speed)
    below = rotation(speed, wheel.rpm_cap)  # D = 60000 v / (π n), the same formula with n in place of D
    yield Fault(
        None,
        f"below a wheel of {units.mm(below)} the spindle is held at {wheel.rpm_cap} rpm, as {why}; "
        f"{units.speed(speed)} falls to {units.speed(wheel.speed_at(worn, wheel.rpm_cap))} on the worn wheel, "
        "and the feed with it.",
        severity="warning",
    )
