"""How many parts until the limit: as far as the next runs' scatter allows, and no further than the log can tell."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from statistics import fmean, variance
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.power.baseline import Baseline
from gen.power.estimate import Estimate, Variance, variance_of_sum
from gen.power.fit import Fit
from gen.power.forecast import Forecast
from gen.power.rest import SURE, last_of, most_parts

REACH = 1.5
"""Times the longest run seen, or the dresses seen: nothing is said beyond."""
FARTHEST = 5_000
"""Parts: nothing is said beyond either, however far apart the numbers of two parts are."""

Ground: TypeAlias = Literal["forecast", "seen", "flat"]
"""What an interval rests on: a forecast by the cleared share; the runs as they were, none longer than usual; a power
that does not measurably rise, so that it may be longer still."""


@dataclass(frozen=True, slots=True)
class Interval:
    """Parts from one dress to the next.

    ``parts`` is the most with which 19 of 20 runs end below the limit.
    ``expected`` is the last part that the mean leaves below it; None if that is
    beyond ``most``, the last one the log can speak of. ``margin_kw`` is what the
    mean leaves to the limit at the last part; None without parts. ``band`` is
    the power of each part of a run to come: mean, and the variance of a single one.
    """

    parts: int
    expected: int | None
    most: int
    margin_kw: float | None
    ground: Ground
    band: tuple[Estimate, ...] = ()

    @property
    def capped(self) -> bool:
        """Whether the log, not the limit, ends it."""
        return self.parts == self.most


def next_power(fit: Fit, base: Baseline, since: float) -> Estimate:
    """The power of a part ``since`` parts after the next dress, with the scatter of a single part."""
    assert base.scatter is not None
    ahead = since - fit.centre
    # a level already scatters by its share of the noise, one part by all of it
    share = math.fsum(1 / len(run.parts) for run in fit.runs) / len(fit.runs)
    error = variance_of_sum(
        [
            base.next_level.variance,
            base.scatter,
            fit.noise.times(1 - share),
            fit.rise.variance.times(ahead**2),
            Variance(fit.slope_scatter * ahead**2, max(1, len(fit.runs) - 1)),
        ]
    )
    return Estimate(base.next_level.value + fit.rise.value * ahead, error)


def foretold(forecast: Forecast, limit_kw: float) -> Interval:
    """Parts until ``limit_kw`` where the cleared share is known: a longer run also starts higher."""
    fit = forecast.fit
    most = _most(fit)
    parts = most_parts(most, lambda every: forecast.over(every, every - 1, limit_kw))
    expected = last_of(most, lambda every: forecast.expected(every) <= limit_kw)
    band = tuple(forecast.power(parts, since) for since in range(parts))
    margin = limit_kw - band[-1].value if band else None
    return Interval(parts, None if expected == most else expected, most, margin, "forecast", band)


def as_seen(fit: Fit, base: Baseline, limit_kw: float, *, straight: bool) -> Interval | None:
    """Parts until ``limit_kw``, no more than the runs had; None where too few runs tell the scatter.

    Straight runs by their common line, others by the means at each place in a run.
    """
    if base.scatter is None:
        return None
    most = min(max(1, math.floor(fit.mean_length + 1e-9)), FARTHEST)
    found = [next_power(fit, base, since) for since in range(most)] if straight else list(_by_place(fit, most))
    return _leading(found, most, limit_kw, "seen")


def not_rising(fit: Fit, base: Baseline, limit_kw: float) -> Interval | None:
    """At least so many parts where the power does not measurably rise: by the greatest rise that the log allows.

    With a straight rise and any share cleared, runs of N parts instead of M end
    at most at N/M times the power, which bounds what hides in the power after a dress.
    """
    if base.scatter is None:
        return None
    usual = max(1, math.floor(fit.mean_length + 1e-9))
    most = _most(fit)
    steepest = max(0.0, fit.rise.above(SURE))
    found = []
    ended = next_power(fit, base, usual - 1)
    for since in range(most):
        power = next_power(fit, base, min(since, fit.centre))
        ahead = max(0.0, since - fit.centre) * steepest
        longer = max(0.0, (since + 1) / usual - 1) * max(0.0, ended.above(SURE))
        found.append(Estimate(power.value + max(ahead, longer), power.variance))
    return _leading(found, most, limit_kw, "flat")


def _most(fit: Fit) -> int:
    return max(1, min(math.floor(REACH * fit.longest), FARTHEST))


def _leading(found: list[Estimate], most: int, limit_kw: float, ground: Ground) -> Interval:
    parts = _count(power.above(SURE) <= limit_kw for power in found)
    expected = _count(power.value <= limit_kw for power in found)
    margin = limit_kw - found[parts - 1].value if parts else None
    return Interval(
        parts, None if expected == len(found) == most else expected, most, margin, ground, tuple(found[:parts])
    )


def _by_place(fit: Fit, most: int) -> Iterator[Estimate]:
    """The power at each place of a run, by the runs that have it, with the scatter of a single one."""
    for since in range(most):
        powers = [
            power for run in fit.runs for place, power in zip(run.since, run.powers, strict=True) if place == since
        ]
        count = len(powers)
        if count < 3:
            return
        yield Estimate(fmean(powers), Variance(variance(powers) * (1 + 1 / count), count - 1))


def _count(holds: Iterable[bool]) -> int:
    """How many hold before the first that does not."""
    return sum(1 for _ in itertools.takewhile(bool, holds))


@dataclass(frozen=True, slots=True)
class Truing:
    """When a creeping baseline lets a run of the usual length reach the limit: after so many dresses and parts.

    ``beyond``: not within what the log can tell, which is what the numbers then are.
    """

    dresses: int
    parts: int
    beyond: bool


def truing(fit: Fit, base: Baseline, limit_kw: float) -> Truing | None:
    """When to true at the latest; None where nothing creeps."""
    if base.creep is None or base.creep.value <= 0:
        return None
    room = limit_kw - base.now.value - fit.rise.value * (fit.usual - 1)
    most = math.floor(REACH * len(fit.runs))
    dresses = max(0, min(most, math.floor(room / base.creep.value)))
    return Truing(dresses, dresses * fit.usual, dresses == most)
