"""Straight lines through the runs: one rise for all of them, a start for each.

Least squares with P = start(run) + rise · x, x the parts since the dress. The
rise comes from within the runs alone, so neither a creeping baseline nor dresses
of different success bend it. Where the runs' own slopes differ by more than
noise explains, each run keeps its own line, and the error of the rise is taken
from how the slopes scatter.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.power.estimate import Estimate, Variance
from gen.power.runs import Run
from gen.power.student import f_above

DIFFER = 0.001
"""How improbable equal slopes must be for each run to keep its own."""


@dataclass(frozen=True, slots=True)
class RunLine:
    """One run's line: ``start_kw`` at the first part after the dress, ``rise_kw`` a part."""

    start_kw: float
    rise_kw: float

    def at(self, since: float) -> float:
        return self.start_kw + self.rise_kw * since


@dataclass(frozen=True)
class Fit:
    """The runs with their lines. ``noise`` is the variance of a single part about its line, kW².

    ``centre`` is the mean of the runs' middles, in parts since the dress, and
    ``levels`` each run's power there by the common rise, kW.
    ``slope_scatter`` is by how much slopes vary from run to run, (kW/part)²; 0 where that is no more than noise.
    """

    runs: tuple[Run, ...]
    lines: tuple[RunLine, ...]
    rise: Estimate
    noise: Variance
    centre: float
    levels: tuple[float, ...]
    slope_scatter: float = 0.0

    @property
    def noise_kw(self) -> float:
        return math.sqrt(self.noise.value)

    @property
    def longest(self) -> int:
        """Parts of the longest run."""
        return max(run.ground for run in self.runs)

    @property
    def usual(self) -> int:
        """Parts of the middle one of the runs that a dress ended."""
        ended = sorted(run.ground for run in self.runs[:-1]) or [self.longest]
        return ended[len(ended) // 2]

    @cached_property
    def mean_length(self) -> float:
        """Parts of the runs that a dress ended, on average."""
        ended = [run.ground for run in self.runs[:-1]] or [self.longest]
        return math.fsum(ended) / len(ended)


@dataclass(frozen=True, slots=True)
class _Sums:
    """One run's means, and sums of squares and products about them."""

    count: int
    x: float
    y: float
    xx: float
    xy: float
    yy: float


def _sums(run: Run) -> _Sums:
    count = len(run.parts)
    x, y = math.fsum(run.since) / count, math.fsum(run.powers) / count
    apart = [(since - x, power - y) for since, power in zip(run.since, run.powers, strict=True)]
    return _Sums(
        count,
        x,
        y,
        math.fsum(dx * dx for dx, _ in apart),
        math.fsum(dx * dy for dx, dy in apart),
        math.fsum(dy * dy for _, dy in apart),
    )


def fit(runs: Sequence[Run]) -> Fit | None:
    """The lines through ``runs``; None where there are too few parts for a slope and its error."""
    sums = [_sums(run) for run in runs]
    xx = math.fsum(one.xx for one in sums)
    dof = sum(one.count for one in sums) - len(sums) - 1
    if xx <= 0 or dof < 1:
        return None
    rise = math.fsum(one.xy for one in sums) / xx
    left = math.fsum(max(0.0, one.yy - 2 * rise * one.xy + rise * rise * one.xx) for one in sums)
    noise = Variance(left / dof, dof)
    centre = math.fsum(one.x for one in sums) / len(sums)
    levels = tuple(one.y - rise * (one.x - centre) for one in sums)
    error, slopes, scatter = noise, [rise] * len(sums), 0.0
    between = _between_slopes(sums, rise, left, dof)
    if between is not None:
        error, noise = between
        slopes = [one.xy / one.xx if one.xx > 0 else rise for one in sums]
        shared = math.fsum(one.xx**2 for one in sums) / xx
        if xx > shared:
            scatter = max(0.0, error.value - noise.value) * error.dof / (xx - shared)
    lines = tuple(RunLine(one.y - slope * one.x, slope) for one, slope in zip(sums, slopes, strict=True))
    return Fit(tuple(runs), lines, Estimate(rise, error.times(1 / xx)), noise, centre, levels, scatter)


def _between_slopes(sums: Sequence[_Sums], rise: float, left: float, dof: float) -> tuple[Variance, Variance] | None:
    """The mean square between the runs' slopes and the noise left without it; None if the slopes may be equal."""
    sloped = [one for one in sums if one.xx > 0]
    above, below = len(sloped) - 1, dof - len(sloped) + 1
    if above < 1 or below < 1:
        return None
    explained = math.fsum(one.xx * (one.xy / one.xx - rise) ** 2 for one in sloped)
    rest = max(0.0, left - explained)
    if rest <= 0 or f_above(explained / above / (rest / below), above, below) >= DIFFER:
        return None
    return Variance(explained / above, above), Variance(rest / below, below)
