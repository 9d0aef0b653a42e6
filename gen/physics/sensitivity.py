"""How far the aggressiveness moves when something at the machine is not as it was entered.

Aggr = 10⁶ · v_f cos α / v_s with v_s = π D n / 60000, so it falls in proportion
to the true diameter and spindle speed, and rises with the feed and with the
cosine of the true angle. Feed and rotation stay as programmed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass

ErrorKind: TypeAlias = Literal["diameter", "override", "spindle", "angle"]

BAND = (200.0, 300.0)
"""Aggressiveness that is reasonable for most resin-bond diamond wheels; common practice, no source."""
WATCH_MM = 25.0
"""The length of plunge that is timed with a watch; at 20 m/s and a target of 250 it takes 5 s."""


@dataclass(frozen=True, slots=True)
class Deviation:
    """One error and what the aggressiveness is then.

    ``error`` is the true diameter less the entered one in mm, the feed override
    in %, the change of spindle speed in %, or the true angle less the entered
    one in degrees.
    """

    quantity: ErrorKind
    error: float
    aggressiveness: float


@dataclass(frozen=True, slots=True)
class Tolerance:
    """The errors, as in :class:`Deviation`, with which the aggressiveness leaves its band.

    ``too_low`` takes it to the band's lower end, ``too_high`` to its upper one;
    None where no error of this kind does.
    """

    quantity: ErrorKind
    too_low: float | None
    too_high: float | None


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What errors make of an aggressiveness, and those that take it out of ``band``.

    ``is_inclined``: the plunge is not along the face's normal, so that an angle
    matters. ``tolerances`` is empty where it is not within the band to begin with.
    """

    aggressiveness: float
    band: tuple[float, float]
    deviations: tuple[Deviation, ...]
    tolerances: tuple[Tolerance, ...]
    is_inclined: bool = False

    def holds(self, aggressiveness: float) -> bool:
        """Whether ``aggressiveness`` is within the band."""
        low, high = self.band
        return low <= aggressiveness <= high


def sensitivity(
    aggressiveness: float,
    *,
    diameter_mm: float | None = None,
    angle_deg: float = 0.0,
    band: tuple[float, float] = BAND,
    highest: float | None = None,
    override: bool = True,
) -> Sensitivity:
    """The sensitivity of ``aggressiveness``; of the diameter only where it is given.

    Without ``override`` no override reaches the feed. ``highest`` is the number where
    a cup or a taper runs slowest, which leaves the band first; the same unless given.
    ``ValueError`` unless the aggressiveness is more than 0, the diameter more than
    1 mm and the angle from 0 to less than 89 degrees.
    """
    if aggressiveness <= 0 or not 0 <= angle_deg < 89 or (diameter_mm is not None and diameter_mm <= 1):
        raise ValueError("an aggressiveness, a diameter and an angle of a plunge are wanted")
    low, high = band
    within = low <= aggressiveness <= high
    if highest is not None:
        high *= aggressiveness / highest
    deviations = _deviations(aggressiveness, diameter_mm, angle_deg)
    tolerances = _tolerances(aggressiveness, diameter_mm, angle_deg, low, high) if within else ()
    return Sensitivity(
        aggressiveness,
        band,
        tuple(one for one in deviations if override or one.quantity != "override"),
        tuple(one for one in tolerances if override or one.quantity != "override"),
        angle_deg > 0,
    )


def watch_time(feed_mm_min: float, length_mm: float = WATCH_MM) -> float:
    """Seconds that the plunge takes over ``length_mm``: what a watch must show beside the moving stick."""
    return length_mm / feed_mm_min * 60


def _deviations(aggr: float, diameter: float | None, angle: float) -> Iterator[Deviation]:
    if diameter is not None:
        for error in (-1.0, 1.0):
            yield Deviation("diameter", error, aggr * diameter / (diameter + error))
    for percent in (90.0, 110.0):
        yield Deviation("override", percent, aggr * percent / 100)
    yield Deviation("spindle", -5.0, aggr / 0.95)
    for error in (-1.0, 1.0) if angle >= 1 else (1.0,):
        yield Deviation("angle", error, aggr * _cosine(angle + error) / _cosine(angle))


def _tolerances(aggr: float, diameter: float | None, angle: float, low: float, high: float) -> Iterator[Tolerance]:
    if diameter is not None:
        yield Tolerance("diameter", diameter * (aggr / low - 1), diameter * (aggr / high - 1))
    yield Tolerance("override", 100 * low / aggr, 100 * high / aggr)
    yield Tolerance("spindle", 100 * (aggr / low - 1), 100 * (aggr / high - 1))
    steeper = math.degrees(math.acos(low / aggr * _cosine(angle))) - angle
    upright = high / aggr * _cosine(angle)
    yield Tolerance("angle", steeper, math.degrees(math.acos(upright)) - angle if upright <= 1 else None)


def _cosine(angle_deg: float) -> float:
    return math.cos(math.radians(angle_deg))
