"""Candidate changes to recipe and machine, rounded to the side that helps.

Each builder returns the changes that could bring one quantity to a limit, the
best first; none if it cannot be done that way. They are candidates: another
bound may forbid them, so whoever shows one tries it out first.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Literal, TypeAlias

from gen.base.finding import Change
from gen.base.quantities import System, plain
from gen.physics.contact import aggressiveness, feed_for, rotation
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel

RoundTo: TypeAlias = Literal["down", "up"]

FOOT_PER_MIN = Decimal("0.3048") / 60
_NOISE = Decimal("1e-7")


def stepped(value: Decimal | float, step: Decimal, side: RoundTo) -> Decimal:
    """``value`` on the next multiple of ``step`` on the safe ``side``; noise of double arithmetic does not count."""
    number = (value if isinstance(value, Decimal) else Decimal(repr(value))) / step
    if side == "down":
        return (number + _NOISE).to_integral_value(ROUND_FLOOR) * step
    return (number - _NOISE).to_integral_value(ROUND_CEILING) * step


def told_length(units: System, mm: Decimal | float, side: RoundTo, *, fine: bool = False) -> tuple[Decimal, str]:
    """``mm`` as a file of this shop would say it: the value in mm, and the text.

    In steps of 0.1 mm or 0.01 in, ``fine`` in a tenth of that.
    """
    value = mm if isinstance(mm, Decimal) else Decimal(repr(mm))
    inch = units == "inch"
    unit, step = (Decimal("25.4"), Decimal("0.01")) if inch else (Decimal(1), Decimal("0.1"))
    if fine:
        step /= 10
    number = stepped(value / unit, step, side)
    return number * unit, f"{plain(number, 4, strip=True)} {'in' if inch else 'mm'}"


def wheel_speed(wheel: Wheel, speed: float, side: RoundTo) -> Iterator[Change]:
    """The wheel at no more or no less than ``speed`` m/s, where marking and spindle allow it."""
    worn, new = (wheel.nominal_diameter(float(size)) for size in wheel.size_range)
    least, most = float(wheel.machine.spindle.speed[0]), float(wheel.rpm_cap)
    if wheel.settings.speed is not None:
        # at a fixed rpm the new wheel is the fastest, the worn one the slowest
        rpm = stepped(rotation(speed, new if side == "down" else worn), Decimal(1), side)
        if least <= rpm <= most:
            yield Change("recipe", wheel.key("dress.speed"), f"{rpm} rpm", f"At {rpm} rpm it fits.")
        return
    inch = wheel.machine.units == "inch"
    said = ""
    for step in (Decimal(10), Decimal(1)) if inch else (Decimal("0.1"), Decimal("0.01")):
        unit = FOOT_PER_MIN if inch else Decimal(1)
        number = stepped(Decimal(repr(speed)) / unit, step, side)
        text = f"{plain(number, 2, strip=True)} {'ft/min' if inch else 'm/s'}"
        if text != said and number > 0 and least - 0.5 <= rotation(float(number * unit), new) <= most + 0.5:
            yield Change("recipe", wheel.key("dress.wheel_speed"), text, f"At {text} it fits.")
        said = text


def feed_within(wheel: Wheel, limit: float, side: RoundTo) -> Iterator[Change]:
    """Another wheel speed or target, with which the plunge feed is no more or no less than ``limit`` mm/min."""
    asked, angle = float(wheel.settings.aggressiveness), float(wheel.angle)
    yield from wheel_speed(wheel, limit / feed_for(asked, 1.0, angle), side)
    speeds = [wheel.dress_speed(float(size)) for size in wheel.size_range]
    worst = max(speeds) if side == "down" else min(speeds)
    yield from target(wheel, aggressiveness(limit, worst, angle), side)


def target(wheel: Wheel, limit: float, side: RoundTo) -> Iterator[Change]:
    """Another target on the ``side`` of ``limit``, where the band allows it."""
    low, high = wheel.settings.band
    for step in (Decimal(5), Decimal(1), Decimal("0.1")):
        value = stepped(limit, step, side)
        if low <= value <= high:
            text = plain(value, 1, strip=True)
            number = int(value) if value == value.to_integral_value() else float(value)
            yield Change("recipe", wheel.key("dress.aggressiveness"), number, f"With a target of {text} it fits.")
            return


def plunge(dress: Dress, depth: Decimal | float, side: RoundTo = "down") -> Iterator[Change]:
    """Plunges of at most (``up``: at least) ``depth`` mm."""
    if depth <= 0:
        return
    for fine in (False, True):
        value, text = told_length(dress.machine.units, depth, side, fine=fine)
        if value > 0:
            yield Change("recipe", "dress.plunge", text, f"With a plunge of {text} it fits.")
            return


def fewer_plunges(dress: Dress, count: int) -> Iterator[Change]:
    """``count`` plunges in a dress, if that is fewer and at least one."""
    if 1 <= count < dress.settings.plunges:
        said = "one plunge" if count == 1 else f"{count} plunges"
        yield Change("recipe", "dress.plunges", count, f"With {said} it fits.")


def set_ups(dresses: int) -> Iterator[Change]:
    """The stand-off set anew after so many ``dresses``, if that is at least one."""
    if dresses >= 1:
        yield Change(
            "machine", "dresser.dresses_per_set_up", dresses, f"With {dresses} dresses between two set-ups it fits."
        )


def new_stick(dress: Dress, mm: Decimal | float, side: RoundTo) -> Iterator[Change]:
    """New sticks of at most or at least ``mm``."""
    value, text = told_length(dress.machine.units, mm, side)
    if value > 0:
        yield Change("recipe", "stick.length", text, f"With a new stick of {text} it fits.")


def min_stick(dress: Dress, mm: Decimal | float) -> Iterator[Change]:
    """Sticks put away while they are still ``mm`` long."""
    value, text = told_length(dress.machine.units, mm, "up")
    if value < dress.stick.length:
        yield Change("machine", "dresser.min_stick", text, f"With a min_stick of {text} it fits.")


def worn_wheel(wheel: Wheel, mm: Decimal | float) -> Iterator[Change]:
    """The wheel put away while its size (diameter, or gauge on a face) is still ``mm``."""
    new = wheel.size_range[1]
    value, text = told_length(wheel.machine.units, mm, "up")
    if value < new:
        key = wheel.key("wheel.gauge" if wheel.face else "wheel.diameter")
        whole = [text, told_length(wheel.machine.units, new, "up", fine=True)[1]]
        yield Change("recipe", key, whole, f"With a worn wheel of {text} it fits.")


def machine_length(units: System, key: str, mm: Decimal | float, side: RoundTo) -> Iterator[Change]:
    """A length of the machine file at most or at least ``mm``."""
    _, text = told_length(units, mm, side)
    name = key.rpartition(".")[2]
    yield Change("machine", key, text, f"With {name} = {text} it fits.")


def free_lane(dress: Dress, wheel: Wheel) -> Iterator[Change]:
    """The wheel on a lane of the stick that no other wheel of the pack touches, in the middle of it or at its side."""
    width, half = wheel.geometry.wheel_width, wheel.geometry.footprint / 2
    others = sorted((bite.low, bite.high) for bite in dress.bites() if bite.wheel != wheel.index)
    begin = -half
    free: list[float] = []
    for low, high in (*others, (half, half)):
        if low - begin >= width:
            free += [(begin + low) / 2, begin + width / 2, low - width / 2]
        begin = max(begin, high)
    for place in sorted(free, key=abs):
        value, text = told_length(dress.machine.units, place, "down" if place > 0 else "up")
        if float(abs(value)) <= half - width / 2:
            said = f"With lane = {text} wheel {wheel.index + 1} has its own."
            yield Change("recipe", wheel.key("wheel.lane"), text, said)
