"""Sets of real numbers, as intervals in order: what a condition leaves of the values that a formula can have."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TypeAlias

Exact: TypeAlias = int | Fraction
"""A fraction; a whole number as an ``int``, which is quicker."""

Real: TypeAlias = int | Fraction | float
"""A fraction, or an infinity."""

Cut: TypeAlias = tuple[Real, int]
"""A place between numbers: just before one (0) or just behind it (1)."""

Reals: TypeAlias = tuple[tuple[Cut, Cut], ...]
"""Intervals from cut to cut, in order, none touching the next."""

FIRST: Cut = (-math.inf, 0)
LAST: Cut = (math.inf, 0)
EVERY: Reals = ((FIRST, LAST),)


def numbers_between(low: Real, high: Real, *, ends: bool = True) -> Reals:
    """The numbers from ``low`` to ``high``, with or without both ``ends``."""
    first: Cut = FIRST if low == -math.inf else (low, 0 if ends else 1)
    last: Cut = LAST if high == math.inf else (high, 1 if ends else 0)
    return ((first, last),) if first < last else ()


def common(one: Reals, other: Reals) -> Reals:
    """The numbers in both sets."""
    if one is EVERY:
        return other
    found = []
    for first, last in one:
        for begin, stop in other:
            low, high = max(first, begin), min(last, stop)
            if low < high:
                found.append((low, high))
    return tuple(found)


def complement(reals: Reals) -> Reals:
    """Every number that is not in ``reals``."""
    found, at = [], FIRST
    for first, last in reals:
        if at < first:
            found.append((at, first))
        at = last
    if at < LAST:
        found.append((at, LAST))
    return tuple(found)


def spread(reals: Reals, factor: Exact, offset: Exact) -> Reals:
    """Every number of ``reals`` times ``factor``, not 0, and ``offset`` more."""
    if factor.denominator == 1 and factor == 1 and not offset:
        return reals

    def moved(cut: Cut) -> Cut:
        value, side = cut
        if isinstance(value, float):
            return FIRST if (value < 0) == (factor > 0) else LAST
        return value * factor + offset, side if factor > 0 else 1 - side

    if factor > 0:
        return tuple((moved(first), moved(last)) for first, last in reals)
    return tuple((moved(last), moved(first)) for first, last in reversed(reals))


def hull(reals: Reals) -> tuple[Real, Real]:
    """The least and the greatest number that ``reals``, not empty, comes up to."""
    return reals[0][0][0], reals[-1][1][0]


def has(reals: Reals, value: Exact) -> bool:
    return any(first <= (value, 0) and (value, 1) <= last for first, last in reals)
