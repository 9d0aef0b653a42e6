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
from statistics import fmean

from gen.base.dataclass import dataclass
from gen.power.estimate import Estimate, Variance
from gen.power.line import StraightLine, line_through
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

    ``own`` is each run's line by itself, over the parts since the dress.
    ``centre`` is the mean of the runs' middles, in parts since the dress, and
    ``levels`` each run's power there by the common rise, kW.
    ``slope_scatter`` is by how much slopes vary from run to run, (kW/part)²; 0 where that is no more than noise.
    """

    runs: tuple[Run, ...]
    own: tuple[StraightLine, ...]
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
        return fmean(ended)


def fit(runs: Sequence[Run]) -> Fit | None:
    """The lines through ``runs``; None where there are too few parts for a slope and its error."""
    own = tuple(line_through(run.since, run.powers) for run in runs)
    size = math.fsum(one.size for one in own)
    dof = sum(len(one.left) for one in own) - len(own) - 1
    if size <= 0 or dof < 1:
        return None
    rise = math.fsum(one.size * one.slope for one in own) / size
    apart = math.fsum(one.size * (one.slope - rise) ** 2 for one in own if one.size > 0)
    rest = math.fsum(one.squares for one in own)
    centre = fmean(one.middle for one in own)
    levels = tuple(one.mean - rise * (one.middle - centre) for one in own)
    noise = error = Variance((apart + rest) / dof, dof)
    slopes, scatter = [rise] * len(own), 0.0
    above = sum(one.size > 0 for one in own) - 1
    below = dof - above
    if above >= 1 and below >= 1 and rest > 0 and f_above(apart / above / (rest / below), above, below) < DIFFER:
        error, noise = Variance(apart / above, above), Variance(rest / below, below)
        slopes = [one.slope if one.size > 0 else rise for one in own]
        shared = math.fsum(one.size**2 for one in own) / size
        if size > shared:
            scatter = max(0.0, error.value - noise.value) * above / (size - shared)
    lines = tuple(RunLine(one.mean - slope * one.middle, slope) for one, slope in zip(own, slopes, strict=True))
    return Fit(tuple(runs), own, lines, Estimate(rise, error.times(1 / size)), noise, centre, levels, scatter)
