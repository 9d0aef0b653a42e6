"""Where the power comes to rest if every run has so many parts, and the most parts that a limit then allows.

A dress leaves q = 1 − k of the loading. With the clean power b and the rise r, runs
of N parts come to rest where the last part before a dress has

    b + N r / k − r

so a longer run also starts higher, and N = k (limit − b + r)/r at the limit.

A log never proves that the rise stays the same where the loading has not been
yet. If a part adds r + s (L − L₀) at the loading L, s the growth that the
curvature within runs allows and L₀ the loading the log has on average, then a run
ends with q e^(sN) times what it began with, and more; where q e^(sN) reaches 1,
the loading never comes to rest. Growth that would help is not counted on, and more
than that of a loading as the parts to the power of 1.5 is not feared.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable

from gen.base.dataclass import dataclass
from gen.power.shape import Bend
from gen.power.student import t_quantile

SURE = 0.95
"""How sure the last part before a dress must be below the limit."""
STEEPEST = 1 / 3
"""The greatest growth that is feared: that of a loading which rises as the parts to the power of 1.5.

There the rise grows as the third root of the loading, so by r/3L for each kW more.
"""
GROWTHS = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Probabilities of the growths that stand for all that the curvature allows."""


@dataclass(frozen=True, slots=True)
class Loading:
    """How a wheel loads and is cleared, as a log allows it: ``clean_kw``, and ``rise_kw`` a part.

    A dress clears the share ``cleared``. The rise was seen at the loading
    ``seen_kw`` in runs of ``usual`` parts; ``growth`` is by how much it grows with
    the loading, a part.
    """

    clean_kw: float
    rise_kw: float
    cleared: float
    seen_kw: float = 0.0
    usual: float = 0.0
    growth: float = 0.0

    @property
    def left(self) -> float:
        """The share of the loading that a dress leaves."""
        return 1 - self.cleared

    def power(self, every: int, since: int) -> float:
        """The power ``since`` parts after a dress, with ``every`` parts a run, kW; infinite if it never rests."""
        growth = self._feared(every)
        kept = self.left * math.exp(min(50.0, growth * every))
        if kept >= 1:
            return math.inf
        start = self.left * self._loaded(0.0, every, growth) / (1 - kept)
        return self.clean_kw + self._loaded(start, since, growth)

    def _feared(self, every: int) -> float:
        """The growth that counts for runs of ``every`` parts: only what makes them end higher."""
        most = STEEPEST * self.rise_kw / self.seen_kw if self.seen_kw > 0 else math.inf
        growth = max(0.0, self.growth) if every > self.usual else min(0.0, self.growth)
        return max(-most, min(most, growth))

    def _loaded(self, start: float, parts: int, growth: float) -> float:
        """The loading after ``parts`` more, kW."""
        if abs(growth) * max(parts, 1) < 1e-9:
            return start + self.rise_kw * parts
        grown = math.exp(min(50.0, growth * parts))
        return start * grown + (self.rise_kw / growth - self.seen_kw) * (grown - 1)


def growths(bend: Bend, rise_kw: float) -> list[float]:
    """Equally likely growths of the rise with the loading, a part, by the curvature within runs."""
    curvature = bend.curvature
    if curvature is None or rise_kw <= 0:
        return [0.0]
    error = math.sqrt(curvature.variance.value)
    quantiles = (t_quantile(probability, curvature.variance.dof) for probability in GROWTHS)
    return [2 * (curvature.value + quantile * error) / rise_kw for quantile in quantiles]


def level_variance(variance: float, wandering: float, left: float) -> float:
    """The variance of the power after a dress, kW²: ``wandering`` is the share of ``variance`` that stays in the wheel.

    What dresses leave differently adds up over the dresses before.
    """
    return variance * (1 - wandering + (wandering / (1 - left * left) if left < 1 else 0.0))


def most_parts(most: int, over: Callable[[int], float]) -> int:
    """The most parts a run, up to ``most``, with which 19 of 20 runs end below the limit; 0 where none do.

    ``over`` is the probability that the last part of runs of so many parts is above it.
    """
    return last_of(most, lambda every: over(every) <= 1 - SURE)


def last_of(most: int, holds: Callable[[int], bool]) -> int:
    """The last of 1 to ``most`` up to which ``holds``, which is true up to one and false from there on; else 0."""
    return bisect_left(range(1, most + 1), True, key=lambda every: not holds(every))
