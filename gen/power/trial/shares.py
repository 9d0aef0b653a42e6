"""The clean power and the share of the loading that a dress clears at each rung of a trial.

A dress at rung i leaves the share q_i = 1 − k_i of the loading that is there.
With the clean power b, the power z where the run before ended and the power y
where the next one starts,

    y = b + q_i^m (z − b) + ε,

m the dresses in a row, each counted by its depth over the trial's usual depth:
two dresses of depth t leave as much as one of 2 t. One b holds for the whole
trial. For a given b the sum of squares is one of the rungs added up, so each q_i
is found by itself, pool adjacent violators keeps k from falling with the target,
and b is found by search.

How sure all of this is, is told by draws: the residuals' variance from its
chi-square distribution, then b, then each q_i given b, in proportion to the
likelihood, b >= 0 and 0 <= q_i <= 1 being all that is supposed before; then the
same pooling. Textbook Bayesian computation on a grid.
"""

from __future__ import annotations

import bisect
import itertools
import math
import random
from collections.abc import Callable, Sequence
from statistics import NormalDist, pvariance

from gen.base.dataclass import dataclass
from gen.power.golden import golden
from gen.power.trial.isotonic import non_decreasing, pool_adjacent_violators

LEVELS = 20
"""Residual variances that are tried, each as likely as the next."""
DRAWS_A_LEVEL = 20
CLEAN_STEPS = 40
SHARE_STEPS = 100
"""Clean powers, and shares left, on the grid that is drawn from."""
NEVER_DRAWN = 20.0
"""Clean powers whose squares are worse by this many variances are never drawn."""


@dataclass(frozen=True, slots=True)
class Drop:
    """What the dresses between two runs did to the power, kW.

    ``rung`` counts the trial's rungs from the lowest target up, ``dresses`` are
    those in a row, by depth. ``variance`` is how uncertain ``after_kw`` and
    ``before_kw`` make the drop, kW², beside how one dress differs from the next.
    ``at`` is the position of the run after it.
    """

    rung: int
    dresses: float
    before_kw: float
    after_kw: float
    variance: float
    at: int = 0

    def missed(self, clean_kw: float, left: float) -> float:
        """By how much the power after it is above what ``clean_kw`` and the share ``left`` by a dress make of it."""
        kept: float = left**self.dresses
        return self.after_kw - clean_kw - kept * (self.before_kw - clean_kw)


@dataclass(frozen=True, slots=True)
class Draw:
    """One clean power, kW, and one share for each rung that the trial allows."""

    clean_kw: float
    cleared: tuple[float, ...]


@dataclass(frozen=True)
class Shares:
    """What the drops of a trial tell.

    ``cleared`` has a share for each rung; ``scatter_kw`` is by how much one
    dress's result differs from the next, without the error of measuring it.
    ``dof`` are the degrees of freedom of the residuals.
    """

    clean_kw: float
    cleared: tuple[float, ...]
    scatter_kw: float
    dof: int
    draws: tuple[Draw, ...]

    def clean_interval(self) -> tuple[float, float]:
        """Where the clean power lies in 19 of 20 draws, kW."""
        return central([draw.clean_kw for draw in self.draws])

    def cleared_interval(self, rung: int) -> tuple[float, float]:
        """Where the share of ``rung`` lies in 19 of 20 draws."""
        return central([draw.cleared[rung] for draw in self.draws])


def central(values: Sequence[float]) -> tuple[float, float]:
    """The middle 95 % of ``values``."""
    ordered = sorted(values)
    last = len(ordered) - 1
    return ordered[math.floor(0.025 * last)], ordered[math.ceil(0.975 * last)]


def shares(drops: Sequence[Drop], rungs: int, seed: int = 1, *, draw: bool = True) -> Shares | None:
    """The fit of ``drops``; None with too few of them for every rung's share, the clean power and their error.

    Without ``draw`` there are no draws, and so no intervals.
    """
    dof = len(drops) - rungs - 1
    if dof < 1 or {drop.rung for drop in drops} != set(range(rungs)):
        return None
    fit = _Fit(drops, rungs)
    wander = 0.0
    best = fit.best()
    for _ in range(2 if draw else 1):
        wander = _wander(drops, best, dof)
        fit = _Fit(drops, rungs, wander)
        best = fit.best()
    variance = max(best.squares / dof, 1e-12)
    # by how much dresses differ was estimated too
    spare = max(1, dof - 1)
    draws = _drawn(fit, best, variance * dof / spare, spare, seed) if draw else ()
    return Shares(best.clean_kw, tuple(1 - left for left in best.left), math.sqrt(wander), dof, draws)


def _wander(drops: Sequence[Drop], best: _Best, dof: int) -> float:
    """By how much dresses differ, kW²: what the residuals scatter beyond the error of measuring, 0 if they do not."""
    squares = math.fsum(drop.missed(best.clean_kw, best.left[drop.rung]) ** 2 for drop in drops)
    return max(0.0, squares / dof - math.fsum(drop.variance for drop in drops) / len(drops))


@dataclass(slots=True)
class _Sums:
    """Weighted sums over the drops of one rung with as many dresses: they give the squares for any b and q."""

    dresses: float
    weight: float = 0.0
    y: float = 0.0
    z: float = 0.0
    yy: float = 0.0
    yz: float = 0.0
    zz: float = 0.0

    def about(self, clean: float) -> tuple[float, float, float, float]:
        """The dresses, and the sums of (y−b)², (y−b)(z−b) and (z−b)²."""
        square = clean * clean * self.weight
        return (
            self.dresses,
            self.yy - 2 * clean * self.y + square,
            self.yz - clean * (self.y + self.z) + square,
            self.zz - 2 * clean * self.z + square,
        )


_About = Sequence[tuple[float, float, float, float]]


def _squares(sums: _About, left: float) -> float:
    total = 0.0
    for dresses, yy, yz, zz in sums:
        share = left if dresses == 1 else left**dresses
        total += yy - 2 * share * yz + share * share * zz
    return total


def _least(sums: _About) -> float:
    """The share left, from 0 to 1, with the least squares."""
    steps = 20
    best = min(range(steps + 1), key=lambda step: _squares(sums, step / steps))
    return golden(lambda left: _squares(sums, left), max(0, best - 1) / steps, min(steps, best + 1) / steps, 18)


@dataclass(frozen=True, slots=True)
class _Best:
    clean_kw: float
    left: tuple[float, ...]
    squares: float


class _Fit:
    """The sums of squares of the drops, as functions of the clean power and of the shares left."""

    def __init__(self, drops: Sequence[Drop], rungs: int, wander: float = 0.0) -> None:
        variances = [drop.variance + wander for drop in drops]
        middle = math.fsum(variances) / len(variances)
        self.sums: list[dict[float, _Sums]] = [{} for _ in range(rungs)]
        for drop, variance in zip(drops, variances, strict=True):
            one = self.sums[drop.rung].setdefault(drop.dresses, _Sums(drop.dresses))
            weight, y, z = middle / variance if variance > 0 else 1.0, drop.after_kw, drop.before_kw
            one.weight += weight
            one.y += weight * y
            one.z += weight * z
            one.yy += weight * y * y
            one.yz += weight * y * z
            one.zz += weight * z * z
        self.highest = max(0.0, min(drop.before_kw for drop in drops), max(drop.after_kw for drop in drops))

    def about(self, clean: float) -> list[_About]:
        return [[one.about(clean) for one in rung.values()] for rung in self.sums]

    def at(self, clean: float) -> _Best:
        """The best shares for one clean power, k not falling from rung to rung."""
        sums = self.about(clean)
        kept = pool_adjacent_violators(sums, lambda pool: 1 - _least([one for rung in pool for one in rung]))
        left = tuple(1 - share for share in kept)
        squares = math.fsum(_squares(rung, share) for rung, share in zip(sums, left, strict=True))
        return _Best(clean, left, max(0.0, squares))

    def best(self) -> _Best:
        step = self.highest / CLEAN_STEPS
        tried = min(range(CLEAN_STEPS + 1), key=lambda count: self.at(count * step).squares)
        low, high = max(0, tried - 1) * step, min(CLEAN_STEPS, tried + 1) * step
        return self.at(golden(lambda clean: self.at(clean).squares, low, high, 22))

    def range_within(self, best: _Best, more: float) -> tuple[float, float]:
        """The clean powers whose squares, each rung by itself, are at most ``more`` than those of ``best``."""

        def misfit(clean: float) -> float:
            return math.fsum(_squares(rung, _least(rung)) for rung in self.about(clean)) - (best.squares + more)

        return _edge(misfit, best.clean_kw, 0.0), _edge(misfit, best.clean_kw, self.highest)


def _edge(misfit: Callable[[float], float], inside: float, end: float) -> float:
    """The farthest place from ``inside`` towards ``end`` where ``misfit`` is not positive."""
    if misfit(end) <= 0:
        return end
    for _ in range(12):
        middle = (inside + end) / 2
        if misfit(middle) <= 0:
            inside = middle
        else:
            end = middle
    return inside


def _variances(variance: float, dof: int) -> list[float]:
    """Equally likely values of the true variance; chi-square quantiles by Wilson and Hilferty (textbook)."""
    found = []
    for level in range(LEVELS):
        z = NormalDist().inv_cdf((level + 0.5) / LEVELS)
        part = 2 / (9 * dof)
        found.append(variance / max(0.02, (1 - part + z * math.sqrt(part)) ** 3))
    return found


def _drawn(fit: _Fit, best: _Best, variance: float, dof: int, seed: int) -> tuple[Draw, ...]:
    chance = random.Random(seed)
    variances = _variances(variance, dof)
    low, high = fit.range_within(best, NEVER_DRAWN * max(variances))
    step = (high - low) / CLEAN_STEPS
    cleans = [low + (count + 0.5) * step for count in range(CLEAN_STEPS)]
    lefts = [(count + 0.5) / SHARE_STEPS for count in range(SHARE_STEPS)]
    table = [[[_squares(rung, left) for left in lefts] for rung in fit.about(clean)] for clean in cleans]
    least = min(math.fsum(map(min, rungs)) for rungs in table)
    free: list[tuple[float, list[float]]] = []
    for one in variances:
        likely: list[list[list[float]]] = []
        weights = []
        for rungs in table:
            floors = [min(rung) for rung in rungs]
            here = [
                [math.exp(-(squares - floor) / (2 * one)) for squares in rung]
                for rung, floor in zip(rungs, floors, strict=True)
            ]
            likely.append(here)
            together = math.fsum(math.log(math.fsum(rung)) for rung in here)
            weights.append(together - (math.fsum(floors) - least) / (2 * one))
        most = max(weights)
        steps = list(itertools.accumulate(math.exp(weight - most) for weight in weights))
        running: dict[int, list[list[float]]] = {}
        for count in range(DRAWS_A_LEVEL):
            at = bisect.bisect_left(steps, (count + chance.random()) / DRAWS_A_LEVEL * steps[-1])
            at = min(at, CLEAN_STEPS - 1)
            if at not in running:
                running[at] = [list(itertools.accumulate(rung)) for rung in likely[at]]
            kept = [1 - _picked(rung, chance) for rung in running[at]]
            free.append((cleans[at] + (chance.random() - 0.5) * step, kept))
    weights = [1 / (pvariance([kept[rung] for _, kept in free]) + 1e-6) for rung in range(len(fit.sums))]
    return tuple(Draw(clean, tuple(non_decreasing(kept, weights))) for clean, kept in free)


def _picked(running: Sequence[float], chance: random.Random) -> float:
    at = min(bisect.bisect_left(running, chance.random() * running[-1]), SHARE_STEPS - 1)
    return (at + chance.random()) / SHARE_STEPS
