"""The power just after a dress, and whether it creeps from dress to dress."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean, variance

from gen.base.dataclass import dataclass
from gen.power.estimate import Estimate, Variance, variance_of_sum
from gen.power.fit import Fit
from gen.power.line import line_through
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
    line = line_through(range(len(levels)), levels)
    creep = line.rise if len(levels) >= LEAST_FOR_LINE else None
    if trend.course in ("creeps", "falls") and creep is not None:
        now, then = line.at(len(levels) - 1), line.at(len(levels))
        return Baseline(trend, _at_start(fit, now), then, line.scatter, creep)
    latest = _latest(levels, trend)
    scatter = Variance(variance(latest), len(latest) - 1)
    mean = Estimate(fmean(latest), scatter.times(1 / len(latest)))
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
