"""The spindle can turn at the speed that the recipe asks for with a new wheel, and holds it over the wear.

Why: A recipe that asks for more than the spindle has would be dressed at another speed than it says.
Example: The recipe asks for 6500 rpm with a new wheel; the spindle does no more than 6000 rpm.
Helps: A wheel speed that the spindle reaches.
"""

from collections.abc import Iterator
from functools import partial

from gen.bounds import changes
from gen.bounds.kit import MOVING, NOISE, Change, Contacts, Dress, Found, Measure, Side, Units, Wear, Wheel, bound
from gen.bounds.rounding import RPM_ROUNDING
from gen.bounds.rules.spindle.capped import capped


@bound("spindle-range", intents=MOVING)
def check(dress: Dress, wear: Wear, contacts: Contacts, units: Units) -> Found:
    low, high = (float(end) for end in dress.machine.spindle.speed)
    for wheel in dress.wheels:
        rpm = wheel.asked_rpm(float(wheel.size_range[1]))
        yield from _ends("new", rpm, low, high, RPM_ROUNDING, wheel)
        if low - RPM_ROUNDING <= rpm <= high + RPM_ROUNDING and high <= dress.marked_rpm:
            yield from capped(wheel, units, "the spindle does no more")
    for plunge in contacts.plunges:
        wheel = dress.wheels[plunge.wheel]
        for stage, size in zip(("worn", "new"), wheel.size_range, strict=True):
            if plunge.rpm and abs(wear.size_of(wheel) - float(size)) < NOISE:
                yield from _ends(stage, plunge.rpm, low, high, NOISE, wheel, plunge.line)


def _ends(
    stage: str, rpm: float, low: float, high: float, slack: float, wheel: Wheel, line: int | None = None
) -> Iterator[Measure]:
    sides: tuple[tuple[Side, float, str], ...] = (("least", low, "less"), ("most", high, "more"))
    for side, limit, word in sides:
        yield Measure(
            "spindle",
            rpm,
            limit,
            side,
            "rotation",
            stage=stage,
            slack=slack,
            line=line,
            said=partial(_said, rpm, limit, word, line),
            helps=partial(_helps, wheel, limit, side),
        )


def _said(rpm: float, limit: float, word: str, line: int | None) -> str:
    asks = "the recipe asks for" if line is None else "the stick meets the wheel at"
    wheel = " with a new wheel" if line is None else ""
    return f"{asks} {rpm:g} rpm{wheel}; the spindle does no {word} than {limit:g} rpm."


def _helps(wheel: Wheel, limit: float, side: Side) -> Iterator[Change]:
    speed = wheel.speed_at(float(wheel.size_range[1]), limit)
    yield from changes.wheel_speed(wheel, speed, "down" if side == "most" else "up")
