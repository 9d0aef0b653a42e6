"""The power just after a dress, and whether it creeps from dress to dress."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gen.base.dataclass import dataclass
from gen.power.estimate import Estimate, Variance, variance_of_sum
from gen.power.fit import Fit
from gen.power.trend import LEAST_FOR_LINE, Trend, trend_of

_MATTERS = 0.25
"""Share of one run's rise that a change over the whole log must reach; less makes no odds at the machine."""


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


def matters_kw(fit: Fit) -> float:
    """The change of the levels over the log, kW, below which it makes no odds."""
    return _MATTERS * abs(fit.rise.value) * max(1, fit.usual - 1)


def baseline(fit: Fit, trend: Trend | None = None) -> Baseline:
    """The baseline of the runs in ``fit``; ``trend`` is what is known of it already."""
    levels = fit.levels
    trend = trend_of(levels, matters_kw(fit)) if trend is None else trend
    if len(levels) == 1:
        only = Estimate(levels[0], fit.noise.times(1 / len(fit.runs[0].parts)))
        now = _at_start(fit, only)
        # both errors come from the same noise here, so its degrees of freedom are those of their sum
        now = Estimate(now.value, Variance(now.variance.value, fit.noise.dof))
        return Baseline(trend, now, only, None, None)
    creep = straight_line(levels) if len(levels) >= LEAST_FOR_LINE else None
    if trend.course in ("creeps", "falls") and creep is not None:
        last, spread = (len(levels) - 1) / 2, _squares(len(levels))
        scatter = creep.variance.times(spread)
        middle = math.fsum(levels) / len(levels)
        now, then = (
            Estimate(middle + creep.value * ahead, scatter.times(1 / len(levels) + ahead**2 / spread))
            for ahead in (last, last + 1)
        )
        return Baseline(trend, _at_start(fit, now), then, scatter, creep)
    latest = _latest(levels, trend)
    middle = math.fsum(latest) / len(latest)
    scatter = _about(latest, [middle] * len(latest), 1)
    mean = Estimate(middle, scatter.times(1 / len(latest)))
    return Baseline(trend, _at_start(fit, mean), mean, scatter, creep)


def _latest(levels: Sequence[float], trend: Trend) -> Sequence[float]:
    """The levels that say where the power after a dress is now."""
    if trend.course == "steps" and trend.at is not None:
        return levels[trend.at :]
    return levels[-max(3, len(levels) // 3) :] if trend.course == "settles" else levels


def _at_start(fit: Fit, level: Estimate) -> Estimate:
    """A level at the fit's centre, carried back to the first part after the dress."""
    error = variance_of_sum([level.variance, fit.rise.variance.times(fit.centre**2)])
    return Estimate(level.value - fit.rise.value * fit.centre, error)


def straight_line(levels: Sequence[float]) -> Estimate:
    """The slope of the line through ``levels``, one a dress; at least three."""
    middle, mean = (len(levels) - 1) / 2, math.fsum(levels) / len(levels)
    slope = math.fsum((at - middle) * level for at, level in enumerate(levels)) / _squares(len(levels))
    about = _about(levels, [mean + slope * (at - middle) for at in range(len(levels))], 2)
    return Estimate(slope, about.times(1 / _squares(len(levels))))


def _squares(count: int) -> float:
    """The sum of squares of 0, 1 … count − 1 about their mean."""
    return count * (count**2 - 1) / 12


def _about(levels: Sequence[float], line: Sequence[float], used: int) -> Variance:
    dof = len(levels) - used
    return Variance(math.fsum((level - at) ** 2 for level, at in zip(levels, line, strict=True)) / dof, dof)
