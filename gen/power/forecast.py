"""The power of the parts of a run to come, if every run has so many parts: with how sure it is.

A dress leaves q = 1 − k of the loading. With the clean power b and the rise r, runs
of N parts come to rest where the last part before a dress has

    b + N r / k − r

so a longer run also starts higher, and N = k (limit − b + r)/r at the limit. The
shares k that the log allows are weighed, each with its clean power.

A log never proves that the rise stays the same where the loading has not been
yet. If a part adds r + s (L − L₀) at the loading L, s the growth that the
curvature within runs allows and L₀ the loading the log has on average, then a run
ends with q e^(sN) times what it began with, and more; where q e^(sN) reaches 1,
the loading never comes to rest. Growth that would help is not counted on, and more
than that of a loading as the parts to the power of 1.5 is not feared.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from gen.power.cleared import Candidate
from gen.power.estimate import Estimate, Variance
from gen.power.fit import Fit
from gen.power.pairs import Clearing
from gen.power.shape import Bend
from gen.power.student import t_above, t_quantile

BINS = 20
"""Shares of the loading that stand for all that the log allows."""
STEEPEST = 1 / 3
"""The greatest growth that is feared: that of a loading which rises as the parts to the power of 1.5.

There the rise grows as the third root of the loading, so by r/3L for each kW more.
"""
GROWTHS = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Probabilities of the growths that stand for all that the curvature allows."""


@dataclass(frozen=True, slots=True)
class _Case:
    """A share with its clean power, and a growth a part; ``weight`` is how likely it is."""

    weight: float
    candidate: Candidate
    growth: float


@dataclass(frozen=True)
class Forecast:
    """What runs to come are like by what the log tells of the cleared share."""

    fit: Fit
    clearing: Clearing
    bend: Bend

    def over(self, every: int, since: int, limit_kw: float) -> float:
        """The probability that a part ``since`` parts after a dress is over the limit, with ``every`` parts a run."""
        total = 0.0
        for case in self._cases(every):
            power, variance = self._power(case, every, since)
            if math.isinf(power):
                total += case.weight
            elif variance <= 0:
                total += case.weight * (power > limit_kw)
            else:
                total += case.weight * t_above((limit_kw - power) / math.sqrt(variance), self.clearing.cleared.dof)
        return total

    def power(self, every: int, since: int) -> Estimate:
        """The power of that part, with the variance of all cases together."""
        found = [(case.weight, *self._power(case, every, since)) for case in self._cases(every)]
        found = [one for one in found if math.isfinite(one[1])]
        weight = math.fsum(one for one, _, _ in found)
        mean = math.fsum(one * power for one, power, _ in found) / weight
        spread = math.fsum(one * ((power - mean) ** 2 + variance) for one, power, variance in found) / weight
        return Estimate(mean, Variance(spread, self.clearing.cleared.dof))

    def expected(self, every: int) -> float:
        """The power of the last part before a dress by the best share and no growth, kW."""
        return self._power(_Case(1.0, self.clearing.cleared.best, 0.0), every, every - 1)[0]

    def _cases(self, every: int) -> Iterator[_Case]:
        growths = list(self._growths(every))
        for weight, candidate in self._shares:
            loading = self._loading(candidate)
            most = STEEPEST * self.fit.rise.value / loading if loading > 0 else math.inf
            for growth in growths:
                yield _Case(weight / len(growths), candidate, max(-most, min(most, growth)))

    @cached_property
    def _shares(self) -> list[tuple[float, Candidate]]:
        return list(_thinned(self.clearing.cleared.weights()))

    def _loading(self, candidate: Candidate) -> float:
        """The loading in the middle of the log's runs, kW."""
        return max(0.0, math.fsum(self.fit.levels) / len(self.fit.levels) - candidate.clean_kw)

    def _growths(self, every: int) -> Iterator[float]:
        """The growths of the rise with the loading, a part; only those that make runs of ``every`` parts end higher."""
        curvature = self.bend.curvature
        if curvature is None or self.fit.rise.value <= 0:
            yield 0.0
            return
        rise, longer = self.fit.rise.value, every > self.fit.mean_length
        for probability in GROWTHS:
            bent = curvature.value + t_quantile(probability, curvature.variance.dof) * math.sqrt(
                curvature.variance.value
            )
            growth = 2 * bent / rise
            yield max(0.0, growth) if longer else min(0.0, growth)

    def _power(self, case: _Case, every: int, since: int) -> tuple[float, float]:
        """The power, kW, and its variance; infinite where the loading does not come to rest."""
        fit, cleared = self.fit, self.clearing.cleared
        share, clean = case.candidate.share, case.candidate.clean_kw
        left, rise = 1 - share, fit.rise.value
        mean = self._loading(case.candidate)
        ended = _loaded(0.0, every, rise, case.growth, mean)
        kept = left * math.exp(min(50.0, case.growth * every))
        if kept >= 1:
            return math.inf, 0.0
        start = left * ended / (1 - kept)
        power = clean + _loaded(start, since, rise, case.growth, mean)
        scatter = cleared.scatter_kw**2
        wandering = case.candidate.wandering
        level = scatter * (1 - wandering + (wandering / (1 - left * left) if left < 1 else 0.0))
        single = fit.noise.value * (1 - 1 / fit.mean_length)
        # by how much this power changes with the rise, the levels of the log being what they are
        along = since - fit.centre + (every - fit.mean_length) * left / share
        variance = level + scatter * case.candidate.clean_variance + single
        variance += fit.rise.variance.value * along**2 + fit.slope_scatter * (since - fit.centre) ** 2
        return power, variance


def _loaded(start: float, parts: int, rise: float, growth: float, mean: float) -> float:
    """The loading after ``parts`` more, kW, each adding ``rise`` + ``growth`` · (loading − ``mean``)."""
    if abs(growth) * max(parts, 1) < 1e-9:
        return start + rise * parts
    grown = math.exp(min(50.0, growth * parts))
    return start * grown + (rise / growth - mean) * (grown - 1)


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
