"""What dressing costs a part, how flat that is, and after how many dresses truing pays.

A dress costs its stick and its time, whatever is ground between: a part costs
(stick + time)/N with N parts to the next dress. So the longest interval that the
limit allows is the cheapest one.

Where the power after a dress creeps, each dress leaves room for fewer parts, and
a truing starts anew. Over a cycle of K dresses and a truing, a part costs

    (truing + K (stick + time)) / (N₀ + N₁ + … of K runs),

which is least for some K: truing sooner wastes wheel, later wastes dresses.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

WORKING_DAYS = 21
"""Days of work in a month, for the sticks that are wanted."""
_FARTHEST = 10_000
"""Dresses: no truing is looked for beyond."""


@dataclass(frozen=True, slots=True)
class DressPrices:
    """In the shop's money: the ``stick`` and the ``time`` of one dress, and one ``truing``, None if it is not known."""

    currency: str
    stick: float
    time: float
    truing: float | None
    dresses_per_stick: int

    @property
    def dress(self) -> float:
        return self.stick + self.time


@dataclass(frozen=True, slots=True)
class PartCost:
    """What dressing costs a part with ``every`` parts between dresses."""

    every: int
    stick: float
    time: float

    @property
    def total(self) -> float:
        return self.stick + self.time


def part_cost(prices: DressPrices, every: int) -> PartCost:
    """The cost of a part with ``every`` parts, 1 or more, between dresses."""
    return PartCost(every, prices.stick / every, prices.time / every)


def sticks_a_month(prices: DressPrices, every: int, parts_a_day: float) -> float:
    """Sticks used in a month of :data:`WORKING_DAYS` days."""
    return parts_a_day * WORKING_DAYS / every / prices.dresses_per_stick


@dataclass(frozen=True, slots=True)
class TruingDue:
    """Truing after so many ``dresses`` costs least: a part then costs ``per_part``, truing included.

    ``within`` is the range of dresses in which it costs at most 2 % more.
    """

    dresses: int
    per_part: float
    within: tuple[int, int]


_FLAT = 0.02
"""How much more than the least is hardly more."""


def truing_due(prices: DressPrices, first: float, less: float, most: int) -> TruingDue | None:
    """After how many dresses truing is cheapest.

    ``first`` parts fit below the limit just after truing, ``less`` fewer after each dress, and a run has ``most``
    at most. None where truing has no price, or nothing creeps.
    """
    if prices.truing is None or less <= 0 or first < 1 or most < 1:
        return None
    cost, parts = prices.truing, 0
    found: list[float] = []
    for dress in range(_FARTHEST):
        run = min(most, math.floor(first - less * dress + 1e-9))
        if run < 1:
            break
        cost, parts = cost + prices.dress, parts + run
        found.append(cost / parts)
    least = min(found)
    near = [at + 1 for at, one in enumerate(found) if one <= (1 + _FLAT) * least]
    return TruingDue(found.index(least) + 1, least, (near[0], near[-1]))
