"""A straight line through points by least squares (textbook)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean
from typing import NamedTuple

from gen.power.estimate import Estimate, Variance


class StraightLine(NamedTuple):
    """It goes through ``mean`` at ``middle``; ``left`` is what the values are more than it.

    ``size`` is the sum of squares of the places about their middle; ``slope`` is 0 where they are all one.
    """

    middle: float
    mean: float
    slope: float
    size: float
    left: Sequence[float]

    @property
    def squares(self) -> float:
        """The residual sum of squares."""
        return math.fsum(one * one for one in self.left)

    @property
    def scatter(self) -> Variance:
        """The variance of a value about it; three values at least."""
        dof = len(self.left) - 2
        return Variance(self.squares / dof, dof)

    @property
    def rise(self) -> Estimate:
        """The slope with its error."""
        return Estimate(self.slope, self.scatter.times(1 / self.size))

    def at(self, place: float) -> Estimate:
        """The line itself at ``place``, with its error."""
        ahead = place - self.middle
        error = self.scatter.times(1 / len(self.left) + ahead**2 / self.size)
        return Estimate(self.mean + self.slope * ahead, error)


def line_through(places: Sequence[float], values: Sequence[float]) -> StraightLine:
    """The line with the least squares of ``values`` over ``places``."""
    middle, mean = fmean(places), fmean(values)
    apart = [place - middle for place in places]
    size = math.fsum(one * one for one in apart)
    along = math.fsum(one * (value - mean) for one, value in zip(apart, values, strict=True))
    slope = along / size if size > 0 else 0.0
    left = [value - mean - slope * one for one, value in zip(apart, values, strict=True)]
    return StraightLine(middle, mean, slope, size, left)
