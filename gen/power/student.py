"""Tails of Student's t and Fisher's F distributions, and the quantiles of t.

The incomplete beta function I_x(a, b) is worked out with its continued fraction (textbook; Lentz's method).
For ν degrees of freedom P(|T| > t) = I_x(ν/2, 1/2) with x = ν/(ν + t²), and
P(F > f) = I_x(ν₂/2, ν₁/2) with x = ν₂/(ν₂ + ν₁ f). With ν₁ = 1, F is the square of t.
"""

from __future__ import annotations

import math
from functools import lru_cache

_TINY = 1e-300
_CLOSE = 1e-15
_MOST_TERMS = 10_000


def incomplete_beta(x: float, a: float, b: float) -> float:
    """The regularized incomplete beta function I_x(a, b), for 0 <= x <= 1 and positive a and b."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - incomplete_beta(1 - x, b, a)
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return math.exp(log_front) / a * _fraction(x, a, b)


def _fraction(x: float, a: float, b: float) -> float:
    c, d = 1.0, 1 / _not_zero(1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / _not_zero(1 + term * d)
            c = _not_zero(1 + term / c)
            value *= c * d
        if abs(c * d - 1) < _CLOSE:
            break
    return value


def _not_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def t_above(t: float, dof: float) -> float:
    """P(T > t) for Student's t with ``dof`` degrees of freedom."""
    tail = incomplete_beta(dof / (dof + t * t), dof / 2, 0.5) / 2
    return tail if t >= 0 else 1 - tail


def f_above(f: float, dof_above: float, dof_below: float) -> float:
    """P(F > f) for Fisher's F, ``dof_above`` and ``dof_below`` the degrees of freedom of numerator and denominator."""
    return incomplete_beta(dof_below / (dof_below + dof_above * max(f, 0.0)), dof_below / 2, dof_above / 2)


@lru_cache(maxsize=256)
def t_quantile(probability: float, dof: float) -> float:
    """The t with P(T <= t) = ``probability``, between 0 and 1; found by halving to the last digit."""
    if probability < 0.5:
        return -t_quantile(1 - probability, dof)
    low, high = 0.0, 1.0
    while t_above(high, dof) > 1 - probability:
        low, high = high, 2 * high
    while (middle := (low + high) / 2) not in (low, high):
        if t_above(middle, dof) > 1 - probability:
            low = middle
        else:
            high = middle
    return high
