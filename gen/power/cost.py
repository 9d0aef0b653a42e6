"""What dressing costs a part, how flat that is, and after how many dresses truing pays.

A dress costs its stick, its time and what it takes off the wheel, whatever is
ground between: a part costs (stick + time + wheel)/N with N parts to the next
dress. So the longest interval that the limit allows is the cheapest one. What has
no price, or was never measured, is not known, and never counted as nothing.

Where the power after a dress creeps, each dress leaves room for fewer parts, and
a truing starts anew. Over a cycle of K dresses and a truing, a part costs

    (truing + K dresses) / (N₀ + N₁ + … of K runs),

which is least for some K: truing sooner wastes wheel, later wastes dresses.
"""

from __future__ import annotations

import math

from gen.base.dataclass import dataclass

WORKING_DAYS = 21
"""Days of work in a month, for the sticks that are wanted."""
_FARTHEST = 10_000
"""Dresses: no truing is looked for beyond."""


@dataclass(frozen=True, slots=True)
class DressPrices:
    """In the shop's money: the ``stick``, the ``time`` and the ``wheel`` of one dress, and one ``truing``.

    What is not known is None. ``dresses_per_truing`` is how often the shop dresses from one truing to the next.
    """

    currency: str
    stick: float | None
    time: float | None
    truing: float | None
    dresses_per_stick: int
    wheel: float | None = None
    dresses_per_truing: int | None = None

    @property
    def dress(self) -> float:
        """What is known of a dress."""
        return _known(self.stick, self.time, self.wheel)


@dataclass(frozen=True, slots=True)
class PartCost:
    """What dressing costs a part with ``every`` parts between dresses; None is what is not known."""

    every: int
    stick: float | None
    time: float | None
    wheel: float | None
    truing: float | None

    @property
    def each(self) -> tuple[float | None, ...]:
        """Stick, time, wheel and truing, in this order."""
        return self.stick, self.time, self.wheel, self.truing

    @property
    def known(self) -> float | None:
        """What is known of it; None where nothing is."""
        return _known(*self.each) if any(one is not None for one in self.each) else None

    @property
    def is_whole(self) -> bool:
        """Whether all of it is known."""
        return None not in self.each


def _known(*costs: float | None) -> float:
    return math.fsum(one for one in costs if one is not None)


def part_cost(prices: DressPrices, every: int, truing_parts: float | None = None) -> PartCost:
    """The cost of a part with ``every`` parts, 1 or more, between dresses.

    ``truing_parts`` are ground from one truing to the next, as many as the prices tell unless given.
    """
    if truing_parts is None and prices.dresses_per_truing is not None:
        truing_parts = every * prices.dresses_per_truing

    def share(cost: float | None, parts: float | None) -> float | None:
        return None if cost is None or parts is None else cost / parts

    return PartCost(
        every,
        share(prices.stick, every),
        share(prices.time, every),
        share(prices.wheel, every),
        share(prices.truing, truing_parts),
    )


def sticks_a_month(prices: DressPrices, every: int, parts_a_day: float | None) -> float | None:
    """Sticks used in a month of :data:`WORKING_DAYS` days; None where nobody says how many parts a day there are."""
    return None if parts_a_day is None else parts_a_day * WORKING_DAYS / every / prices.dresses_per_stick


@dataclass(frozen=True, slots=True)
class TruingDue:
    """Truing after so many ``dresses``, which is after ``parts``, costs least: a part then costs ``per_part``.

    Truing is included. ``within`` is the range of dresses in which it costs at most 2 % more.
    """

    dresses: int
    parts: int
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
    ground: list[int] = []
    for dress in range(_FARTHEST):
        run = min(most, math.floor(first - less * dress + 1e-9))
        if run < 1:
            break
        cost, parts = cost + prices.dress, parts + run
        found.append(cost / parts)
        ground.append(parts)
    least = min(found)
    near = [at + 1 for at, one in enumerate(found) if one <= (1 + _FLAT) * least]
    best = found.index(least)
    return TruingDue(best + 1, ground[best], least, (near[0], near[-1]))
