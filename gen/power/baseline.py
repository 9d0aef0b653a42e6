"""The power just after a dress, and whether it creeps from dress to dress.

Each run has one level. A straight line, and where there are enough runs a
parabola, is fitted through the levels by number of dress: a slope that is
certain and matters is creep; creep whose end has flattened has levelled off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from gen.power.estimate import Estimate, Variance, together
from gen.power.fit import Fit

Trend: TypeAlias = Literal["steady", "creeps", "levels-off", "falls"]

CERTAIN = 0.99
"""How sure creep, and its flattening, must be."""
MATTERS = 0.25
"""Share of one run's rise that the creep over the whole log must reach; less makes no odds at the machine."""
FLAT = 0.5
"""Creep has levelled off when its end is at most so steep, as a share of its mean."""
LEAST_FOR_TREND = 4
LEAST_FOR_SHAPE = 6
"""Runs that a trend, and the shape of a trend, can be seen in."""


@dataclass(frozen=True, slots=True)
class Baseline:
    """The power after a dress, kW: ``now`` just after the last ones, ``next_level`` of the next run at its centre.

    ``scatter`` is the variance of a run's level about the trend, kW²; None with one run.
    ``creep`` is the slope, kW a dress; None with too few runs.
    """

    trend: Trend
    now: Estimate
    next_level: Estimate
    scatter: Variance | None
    creep: Estimate | None


def baseline(fit: Fit) -> Baseline:
    """The baseline of the runs in ``fit``."""
    levels = fit.levels
    rise = fit.rise.value * (fit.usual - 1)
    creep = straight(levels) if len(levels) >= LEAST_FOR_TREND else None
    trend = _trend(levels, creep, rise)
    if len(levels) == 1:
        only = Estimate(levels[0], fit.noise.times(1 / len(fit.runs[0].parts)))
        now = _at_start(fit, only)
        # both errors come from the same noise here, so its degrees of freedom are those of their sum
        now = Estimate(now.value, Variance(now.variance.value, fit.noise.dof))
        return Baseline(trend, now, only, None, None)
    if trend == "levels-off":
        levels = levels[-max(3, len(levels) // 3) :]
    if trend in ("creeps", "falls") and creep is not None:
        last, spread = (len(levels) - 1) / 2, _squares(len(levels))
        scatter = creep.variance.times(spread)
        middle = math.fsum(levels) / len(levels)
        now, then = (
            Estimate(middle + creep.value * ahead, scatter.times(1 / len(levels) + ahead**2 / spread))
            for ahead in (last, last + 1)
        )
        return Baseline(trend, _at_start(fit, now), then, scatter, creep)
    scatter = _about(levels, [math.fsum(levels) / len(levels)] * len(levels), 1)
    mean = Estimate(math.fsum(levels) / len(levels), scatter.times(1 / len(levels)))
    return Baseline(trend, _at_start(fit, mean), mean, scatter, creep)


def _at_start(fit: Fit, level: Estimate) -> Estimate:
    """A level at the fit's centre, carried back to the first part after the dress."""
    error = together([level.variance, fit.rise.variance.times(fit.centre**2)])
    return Estimate(level.value - fit.rise.value * fit.centre, error)


def straight(levels: Sequence[float]) -> Estimate:
    """The slope of the line through ``levels``, one a dress; at least three."""
    middle, mean = (len(levels) - 1) / 2, math.fsum(levels) / len(levels)
    slope = math.fsum((at - middle) * level for at, level in enumerate(levels)) / _squares(len(levels))
    about = _about(levels, [mean + slope * (at - middle) for at in range(len(levels))], 2)
    return Estimate(slope, about.times(1 / _squares(len(levels))))


def bend(levels: Sequence[float]) -> Estimate:
    """The curvature of the parabola through ``levels``, half the change of slope from dress to dress; at least four."""
    count = len(levels)
    middle, slope = (count - 1) / 2, straight(levels).value
    mean = math.fsum(levels) / count
    square = _squares(count) / count
    shape = [(at - middle) ** 2 - square for at in range(count)]
    size = math.fsum(one * one for one in shape)
    curve = math.fsum(one * level for one, level in zip(shape, levels, strict=True)) / size
    line = [mean + slope * (at - middle) + curve * one for at, one in enumerate(shape)]
    return Estimate(curve, _about(levels, line, 3).times(1 / size))


def _trend(levels: Sequence[float], creep: Estimate | None, rise: float) -> Trend:
    if creep is None or abs(creep.value) * (len(levels) - 1) < MATTERS * rise:
        return "steady"
    if creep.above(CERTAIN) < 0:
        return "falls"
    levelled = len(levels) >= LEAST_FOR_SHAPE and _levels_off(levels, creep.value)
    if creep.below(CERTAIN) > 0:
        return "levels-off" if levelled else "creeps"
    return "levels-off" if levelled and creep.value > 0 else "steady"


def _levels_off(levels: Sequence[float], slope: float) -> bool:
    curve = bend(levels)
    at_the_end = slope + curve.value * (len(levels) - 1)
    return curve.above(CERTAIN) < 0 and at_the_end <= FLAT * slope


def _squares(count: int) -> float:
    """The sum of squares of 0, 1 … count − 1 about their mean."""
    return count * (count**2 - 1) / 12


def _about(levels: Sequence[float], line: Sequence[float], used: int) -> Variance:
    dof = len(levels) - used
    return Variance(math.fsum((level - at) ** 2 for level, at in zip(levels, line, strict=True)) / dof, dof)
