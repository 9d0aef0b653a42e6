"""What a part costs at each rung of a trial, by draws from the fit.

How many parts a dress is good for is the same computation as that of a power log
(:mod:`gen.power.rest`), each draw with its own clean power, rise, shares and growth
of the rise. One part costs its share of a dress: what the dress takes in time and
stick, and what it takes off the wheel.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from gen.base.dataclass import dataclass
from gen.power.limit import FARTHEST
from gen.power.rest import SURE, Loading, last_of, level_variance, most_parts

FEWEST_PARTS = 0.5
"""Parts between dresses where not even one part stays below the limit: it costs as if every part took two dresses."""


@dataclass(frozen=True, slots=True)
class Prices:
    """In the shop's money: one dress at each rung without its wear of the wheel, and 1 mm of the wheel's size."""

    dress: tuple[float, ...]
    size_mm: float


@dataclass(frozen=True, slots=True)
class Sample:
    """One state of things that the trial allows; powers in kW, ``loadings`` and losses by rung.

    ``wheel_mm`` is the loss of the wheel's size in one dress, None where it was not
    measured. ``part_kw`` is the scatter of one part's power, ``dress_kw`` by how
    much one dress's result differs from the next.
    """

    loadings: tuple[Loading, ...]
    wheel_mm: tuple[float, ...] | None
    part_kw: float
    dress_kw: float

    def scatter(self, rung: int) -> float:
        """σ of a run's last part, kW."""
        return math.sqrt(self.part_kw**2 + level_variance(self.dress_kw**2, 1.0, min(0.97, self.loadings[rung].left)))

    def end(self, rung: int, parts: int) -> float:
        """The power of the last part of a run of ``parts``, once the runs repeat, kW."""
        return self.loadings[rung].power(parts, parts - 1)

    def parts(self, rung: int, limit_kw: float) -> int:
        """The most parts with which 19 of 20 runs end below the limit, 0 where no part stays below it."""
        most = limit_kw - NormalDist().inv_cdf(SURE) * self.scatter(rung)
        return last_of(FARTHEST, lambda parts: self.end(rung, parts) <= most)


def parts_between(samples: Sequence[Sample], rung: int, limit_kw: float) -> int:
    """The most parts with which 19 of 20 runs end below the limit, over all that the trial allows."""
    return most_parts(FARTHEST, lambda parts: _above(samples, rung, parts, limit_kw))


def _above(samples: Sequence[Sample], rung: int, parts: int, limit_kw: float) -> float:
    """The share of runs of ``parts`` that end above the limit."""
    normal = NormalDist()
    return math.fsum(
        normal.cdf((one.end(rung, parts) - limit_kw) / max(one.scatter(rung), 1e-9)) for one in samples
    ) / len(samples)


def costs(samples: Sequence[Sample], prices: Prices, limit_kw: float) -> list[list[float]]:
    """The cost of a part, by sample and rung; every sample has its wheel loss."""
    return [
        [dress_cost(one, prices, at) / max(FEWEST_PARTS, one.parts(at, limit_kw)) for at in range(len(one.loadings))]
        for one in samples
    ]


def dress_cost(sample: Sample, prices: Prices, rung: int) -> float:
    """One dress: time and stick, and what it takes off the wheel."""
    assert sample.wheel_mm is not None
    return prices.dress[rung] + prices.size_mm * sample.wheel_mm[rung]


@dataclass(frozen=True, slots=True)
class Ranking:
    """The rungs by cost: ``mean`` by rung, the ``best`` one, and by how much a part may cost too much with it.

    ``regret`` is the mean over all that the trial allows of what a part costs
    with the best rung more than with the one that is best there.
    ``likely`` is how often each rung is the best.
    """

    mean: tuple[float, ...]
    best: int
    regret: float
    likely: tuple[float, ...]


def ranked(table: Sequence[Sequence[float]]) -> Ranking:
    """The ranking of the costs in ``table``, by sample and rung; of equal ones the lowest target is the best."""
    count = len(table)
    rungs = range(len(table[0]))
    mean = [math.fsum(row[rung] for row in table) / count for rung in rungs]
    best = min(rungs, key=mean.__getitem__)
    regret = math.fsum(row[best] - min(row) for row in table) / count
    first = [min(rungs, key=row.__getitem__) for row in table]
    return Ranking(tuple(mean), best, regret, tuple(first.count(rung) / count for rung in rungs))
