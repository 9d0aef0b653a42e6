"""Rows that must not count: idle power, a slipped decimal point, outliers; each is named by its line."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass

Reason: TypeAlias = Literal["idle", "slip", "outlier", "not-cut"]

SLIPS = (10.0, 100.0, 1000.0, 0.1, 0.01, 0.001)
_NEAR = 0.3
"""By how much of the expected power a slip, with its point put right, may still miss it."""
IDLES = 0.5
"""A power below this share of the expected one is idle."""


@dataclass(frozen=True, slots=True)
class Aside:
    """A row that does not count, by its ``line``; its power, kW, and what would have fitted there, None if unknown."""

    line: int
    why: Reason
    power_kw: float
    expected_kw: float | None = None


def why_stray(power: float, expected: float, scatter: float = 0.0) -> Reason:
    """What a power far from the expected one is, both in kW; ``scatter`` is the standard deviation of a good one."""
    near = max(_NEAR * expected, 5 * scatter)
    if expected > 0 and any(abs(power / slip - expected) < near for slip in SLIPS):
        return "slip"
    return "idle" if power < IDLES * expected else "outlier"


def idle_rows(powers: Sequence[float], is_first: Sequence[bool]) -> set[int]:
    """The rows of ``powers``, kW, that stand apart far below all others, unless they are the first after a dress."""
    order = sorted(range(len(powers)), key=powers.__getitem__)
    upper = powers[order[len(order) * 9 // 10]] if order else 0.0
    best, cut = 0.0, 0
    for place in range(1, len(order)):
        low, high = powers[order[place - 1]], powers[order[place]]
        if high > upper:
            break
        if high - low > best and low <= IDLES * high:
            best, cut = high - low, place
    rest = [powers[at] for at in order[cut:]]
    if cut == 0 or len(rest) < 3 or best < 0.3 * median(rest):
        return set()
    below = set(order[:cut])
    spread = powers[order[cut - 1]] - powers[order[0]]
    if spread > best / 2 or sum(is_first[at] for at in below) * 2 > len(below):
        return set()
    return below
