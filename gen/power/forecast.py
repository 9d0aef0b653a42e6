"""The power of the parts of a run to come, if every run has so many parts: with how sure it is.

Where runs come to rest is told by :mod:`gen.power.rest`. The shares k that the log
allows are weighed, each with its clean power, and so are the growths of the rise
that the curvature within runs allows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from statistics import fmean

from gen.base.dataclass import dataclass
from gen.power.cleared import Candidate
from gen.power.estimate import Estimate, Variance
from gen.power.fit import Fit
from gen.power.pairs import Clearing
from gen.power.rest import Loading, growths, level_variance
from gen.power.shape import Bend
from gen.power.student import t_above

BINS = 20
"""Shares of the loading that stand for all that the log allows."""


@dataclass(frozen=True)
class Forecast:
    """What runs to come are like by what the log tells of the cleared share."""

    fit: Fit
    clearing: Clearing
    bend: Bend

    def over(self, every: int, since: int, limit_kw: float) -> float:
        """The probability that a part ``since`` parts after a dress is over the limit, with ``every`` parts a run."""
        total = 0.0
        for weight, power, variance in self._powers(every, since):
            if variance > 0:
                total += weight * t_above((limit_kw - power) / math.sqrt(variance), self.clearing.cleared.dof)
            else:
                total += weight * (power > limit_kw)
        return total

    def power(self, every: int, since: int) -> Estimate:
        """The power of that part, with the variance of all cases together."""
        found = [one for one in self._powers(every, since) if math.isfinite(one[1])]
        weight = math.fsum(one for one, _, _ in found)
        mean = math.fsum(one * power for one, power, _ in found) / weight
        spread = math.fsum(one * ((power - mean) ** 2 + variance) for one, power, variance in found) / weight
        return Estimate(mean, Variance(spread, self.clearing.cleared.dof))

    def expected(self, every: int) -> float:
        """The power of the last part before a dress by the best share and no growth, kW."""
        return self._loading(self.clearing.cleared.best, 0.0).power(every, every - 1)

    @cached_property
    def _cases(self) -> list[tuple[float, Candidate, Loading]]:
        """Shares with their clean powers, each with every growth of the rise, and how likely it is."""
        bent = growths(self.bend, self.fit.rise.value)
        shares = _thinned(self.clearing.cleared.weights())
        return [
            (weight / len(bent), candidate, self._loading(candidate, growth))
            for weight, candidate in shares
            for growth in bent
        ]

    def _loading(self, candidate: Candidate, growth: float) -> Loading:
        fit = self.fit
        seen = max(0.0, fmean(fit.levels) - candidate.clean_kw)
        return Loading(candidate.clean_kw, fit.rise.value, candidate.share, seen, fit.mean_length, growth)

    def _powers(self, every: int, since: int) -> Iterator[tuple[float, float, float]]:
        """How likely each case is, its power, kW, and the variance; infinite where the loading never rests."""
        fit, scatter = self.fit, self.clearing.cleared.scatter_kw**2
        single = fit.noise.value * (1 - 1 / fit.mean_length)
        for weight, candidate, loading in self._cases:
            power, variance = loading.power(every, since), 0.0
            if math.isfinite(power):
                # by how much this power changes with the rise, the levels of the log being what they are
                along = since - fit.centre + (every - fit.mean_length) * loading.left / loading.cleared
                variance = level_variance(scatter, candidate.wandering, loading.left)
                variance += scatter * candidate.clean_variance + single
                variance += fit.rise.variance.value * along**2 + fit.slope_scatter * (since - fit.centre) ** 2
            yield weight, power, variance


def _thinned(weights: Sequence[tuple[float, Candidate]]) -> Iterator[tuple[float, Candidate]]:
    """``weights`` in bins of about the same weight, each by its heaviest."""
    bin_weight, heaviest = 0.0, weights[0]
    for weight, candidate in weights:
        if weight >= heaviest[0] or not bin_weight:
            heaviest = (weight, candidate)
        bin_weight += weight
        if bin_weight >= 1 / BINS:
            yield bin_weight, heaviest[1]
            bin_weight, heaviest = 0.0, (0.0, candidate)
    if bin_weight > 0:
        yield bin_weight, heaviest[1]
