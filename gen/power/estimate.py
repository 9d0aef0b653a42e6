"""A number with how well it is known."""

from __future__ import annotations

import math
from collections.abc import Iterable

from gen.base.dataclass import dataclass
from gen.power.student import t_quantile

CONFIDENCE = 0.95
"""Of every interval that is told."""


@dataclass(frozen=True, slots=True)
class Variance:
    """An estimated variance and the degrees of freedom it was estimated with."""

    value: float
    dof: float

    def times(self, factor: float) -> Variance:
        return Variance(self.value * factor, self.dof)


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and the variance of its error."""

    value: float
    variance: Variance

    def interval(self) -> tuple[float, float]:
        """The two-sided interval by Student's t."""
        reach = self._reach((1 + CONFIDENCE) / 2)
        return self.value - reach, self.value + reach

    def below(self, confidence: float) -> float:
        """The one-sided bound that the true value is above."""
        return self.value - self._reach(confidence)

    def above(self, confidence: float) -> float:
        """The one-sided bound that the true value is below."""
        return self.value + self._reach(confidence)

    def _reach(self, probability: float) -> float:
        return t_quantile(probability, self.variance.dof) * math.sqrt(self.variance.value)


def variance_of_sum(parts: Iterable[Variance]) -> Variance:
    """The variance of a sum of independent errors, with the degrees of freedom by Welch and Satterthwaite."""
    known = [part for part in parts if part.value > 0]
    if not known:
        return Variance(0.0, 1.0)
    total = math.fsum(part.value for part in known)
    # shares, not values: the square of a small variance may be nothing at all
    dof = 1 / math.fsum((part.value / total) ** 2 / part.dof for part in known)
    return Variance(total, dof)
