"""The quick answer: how fast, from a wheel speed and a target, or what a feed amounts to."""

from __future__ import annotations

from decimal import Decimal

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.physics.contact import aggressiveness, feed_for, peripheral_speed, rotation


@dataclass(frozen=True, slots=True)
class QuickAnswer:
    """Wheel speed, aggressiveness, plunge feed, and where asked for, time and rotation."""

    wheel_speed_m_s: float
    aggressiveness: float
    feed_mm_min: float
    feed_mm_s: float
    time_s: float | None
    rpm: float | None


def quick_answer(
    *,
    wheel_speed: Decimal | None = None,
    diameter: Decimal | None = None,
    rpm: Decimal | None = None,
    target: Decimal | None = None,
    feed: Decimal | None = None,
    length: Decimal | None = None,
    angle: Decimal = Decimal(0),
) -> QuickAnswer:
    """Works out what is missing. Units m/s, mm, rpm, mm/min, degrees.

    The speed comes from ``wheel_speed``, or from ``diameter`` and ``rpm``; with
    ``wheel_speed`` and ``diameter`` the rotation is answered. Without ``feed``
    the target counts, 250 unless given. :class:`DressblockError` if what is
    given is too little, too much, or not positive.
    """
    _positive(wheel_speed=wheel_speed, diameter=diameter, rpm=rpm, aggressiveness=target, feed=feed, length=length)
    if target is not None and feed is not None:
        raise DressblockError("--aggressiveness and --feed are both given; the one follows from the other, keep one.")
    if not 0 <= angle <= 60:
        raise DressblockError(f"--angle is {angle}; an angle from 0 to 60 degrees can be worked out.")
    speed = _speed(wheel_speed, diameter, rpm)
    slant = float(angle)
    if feed is None:
        wanted = float(Decimal(250) if target is None else target)
        rate = feed_for(wanted, speed, slant)
    else:
        rate = float(feed)
        wanted = aggressiveness(rate, speed, slant)
    turns = float(rpm) if rpm is not None else None if diameter is None else rotation(speed, float(diameter))
    return QuickAnswer(
        wheel_speed_m_s=tidy(speed),
        aggressiveness=tidy(wanted),
        feed_mm_min=tidy(rate),
        feed_mm_s=tidy(rate / 60),
        time_s=None if length is None else tidy(float(length) / rate * 60),
        rpm=None if turns is None else tidy(turns),
    )


def tidy(value: float) -> float:
    """``value`` to nine significant digits: the noise of double arithmetic is no part of an answer."""
    return float(f"{value:.9g}")


def _speed(wheel_speed: Decimal | None, diameter: Decimal | None, rpm: Decimal | None) -> float:
    if wheel_speed is not None:
        if rpm is not None:
            raise DressblockError("--wheel-speed and --rpm are both given; keep one, or give --diameter with --rpm.")
        return float(wheel_speed)
    if diameter is not None and rpm is not None:
        return peripheral_speed(float(diameter), float(rpm))
    raise DressblockError('the speed is missing; give --wheel-speed "20 m/s", or --diameter "125 mm" with --rpm 3056.')


def _positive(**values: Decimal | None) -> None:
    for name, value in values.items():
        if value is not None and value <= 0:
            raise DressblockError(f"--{name.replace('_', '-')} is {value}; it must be more than 0.")
