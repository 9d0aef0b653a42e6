"""How many parts until the limit: as far as the next run's scatter allows, and no further than the log can tell."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from gen.power.baseline import Baseline
from gen.power.estimate import Estimate, Variance, together
from gen.power.fit import Fit

SURE = 0.95
"""How sure the last part before a dress must be below the limit."""
REACH = 1.5
"""Times the longest run seen, or the dresses seen: nothing is said beyond."""
FARTHEST = 5_000
"""Parts: nothing is said beyond either, however far apart the numbers of two parts are."""


@dataclass(frozen=True, slots=True)
class Interval:
    """Parts from one dress to the next.

    ``parts`` is the most with which 19 of 20 runs end below the limit.
    ``expected`` is the last part that the line itself leaves below it; None if
    that is beyond ``most``, the last one the log can speak of. ``margin_kw`` is
    what the line leaves to the limit at the last part; None without parts.
    """

    parts: int
    expected: int | None
    most: int
    margin_kw: float | None

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
    error = together(
        [
            base.next_level.variance,
            base.scatter,
            fit.noise.times(1 - share),
            fit.rise.variance.times(ahead**2),
            Variance(fit.slope_scatter * ahead**2, max(1, len(fit.runs) - 1)),
        ]
    )
    return Estimate(base.next_level.value + fit.rise.value * ahead, error)


def interval(fit: Fit, base: Baseline, limit_kw: float) -> Interval | None:
    """Parts until ``limit_kw``, net of idle as the log is; None with a single run, which tells no scatter."""
    if base.scatter is None:
        return None
    most = min(math.floor(REACH * fit.longest), FARTHEST)
    powers = [next_power(fit, base, since) for since in range(most)]
    parts = _leading(power.above(SURE) <= limit_kw for power in powers)
    expected = _leading(power.value <= limit_kw for power in powers)
    margin = limit_kw - powers[parts - 1].value if parts else None
    return Interval(parts, None if expected == most else expected, most, margin)


def _leading(holds: Iterable[bool]) -> int:
    count = 0
    for one in holds:
        if not one:
            break
        count += 1
    return count


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
