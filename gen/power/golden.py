"""Where a function of one number is least."""

from __future__ import annotations

import math
from collections.abc import Callable

_RATIO = (math.sqrt(5) - 1) / 2


def golden(function: Callable[[float], float], low: float, high: float, steps: int) -> float:
    """Where ``function`` is least between ``low`` and ``high``, by golden section (textbook); an end if it is there."""
    ends = (low, high)
    a, b = high - _RATIO * (high - low), low + _RATIO * (high - low)
    at_a, at_b = function(a), function(b)
    for _ in range(steps):
        if at_a <= at_b:
            high, b, at_b = b, a, at_a
            a = high - _RATIO * (high - low)
            at_a = function(a)
        else:
            low, a, at_a = a, b, at_b
            b = low + _RATIO * (high - low)
            at_b = function(b)
    return min((a if at_a <= at_b else b, *ends), key=function)
