"""What a row of levels does, one a dress: stays, creeps, falls, steps, settles or wanders.

Each is a model: a constant, a straight line, two constants with a step between
them, an exponential that settles. The one with the least Bayesian information
criterion n ln(S/n) + p ln n is taken (S its residual sum of squares, p its
parameters; textbook), if it is certain and large enough to matter. A line that is
hardly better than a step is neither.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from statistics import NormalDist, fmean
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.power.line import line_through
from gen.power.student import f_above

Course: TypeAlias = Literal["steady", "creeps", "falls", "steps", "settles", "wanders", "unclear"]

CERTAIN = 0.99
"""How sure any change must be."""
DOUBTFUL = 0.95
"""How sure a change is that is not told but leaves doubt whether the levels stay."""
MARGIN = 4.0
"""By how much the criterion of a line must be less than that of a step, or of one that settles.

By 1 more for each number fitted besides, as these can hide how a change bends.
"""
AUTOCORRELATED = 0.45
"""What a line leaves must be less alike from dress to dress than this, or the levels wander."""
FAR_APART = 0.7
"""How sure it is enough to be that levels wander, for doubt, where a walk that scatters as they do would matter.

A short walk is often not very alike. Where it matters, doubt is better in a few logs more than a number that cannot
hold for long.
"""
LEAST_FOR_LINE = 4
LEAST_FOR_STEP = 5
"""Levels in which a line, and a step or settling, can be seen."""
MOST_STEPS = 40
"""Places at which a step is looked for, in many levels every so many."""
SETTLING = (0.5, 1.0, 2.0, 3.0, 4.5, 7.0)
"""Dresses in which what settles falls to 1/e, as tried."""
SLOWEST = (0.4, 0.7)
"""The same as shares of the levels, so that a slow warm-up is not told as a creep that goes on."""


@dataclass(frozen=True, slots=True)
class Trend:
    """The course of the levels. ``at`` is the first level after a step, else None.

    ``doubtful``: steady as far as can be told, yet a change is likely enough that nothing should rest on it.
    """

    course: Course
    at: int | None = None
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class _Model:
    course: Course
    squares: float
    parameters: int
    change: float
    left: Sequence[float]
    trials: int = 1
    at: int | None = None

    def criterion(self, count: int) -> float:
        return count * math.log(self.squares / count) + self.parameters * math.log(count)


Explains: TypeAlias = Callable[[Sequence[float] | None], tuple[float, float, Sequence[float]]]
"""Fits levels with a multiple of a shape, or none: the residual sum of squares, the multiple, and what is left."""


def trend_of(levels: Sequence[float], matters_kw: float) -> Trend:
    """The course of ``levels``, kW; a change of less than ``matters_kw`` is none."""

    def explain(shape: Sequence[float] | None) -> tuple[float, float, Sequence[float]]:
        line = line_through(shape or [0.0] * len(levels), levels)
        return line.squares, line.slope, line.left

    return trend_in(explain, len(levels), matters_kw, _rounding(levels))


def trend_in(explain: Explains, count: int, matters_kw: float, least: float, known: int = 1) -> Trend:
    """The course of ``count`` levels that ``explain`` fits with ``known`` parameters before any change.

    ``least`` is the residual sum of squares, kW², that rounding alone leaves.
    """
    if count - known < LEAST_FOR_LINE - 1:
        return Trend("steady")
    squares, _, left = explain(None)
    squares = max(least, squares)
    every = list(_models(explain, count, least, known))
    large = [one for one in every if abs(one.change) >= matters_kw]
    models = [one for one in large if _is_certain(one, squares, count, CERTAIN)]
    if not models:
        # what rounding leaves repeats itself as the marks do, and is no walk
        alike = _alike(left) if squares > least else 0.0
        if alike > _by_chance(count, known, CERTAIN):
            return Trend("wanders")
        # a walk of n steps has n/6 steps squared as its variance, and is n steps squared away after as many more
        far = squares > max(least, (count - known) * matters_kw**2 / 6)
        doubtful = alike > _by_chance(count, known, FAR_APART if far else DOUBTFUL)
        return Trend("steady", doubtful=doubtful or any(_is_certain(one, squares, count, DOUBTFUL) for one in large))
    best = min(models, key=lambda one: one.criterion(count))
    if best.course not in ("creeps", "falls"):
        return Trend(best.course, best.at)
    others = [one.criterion(count) for one in every if one.course in ("steps", "settles")]
    if min(others, default=math.inf) - best.criterion(count) < MARGIN + known - 1:
        return Trend("unclear")
    if _alike(best.left) > AUTOCORRELATED and best.squares > 2 * least:
        return Trend("wanders")
    return Trend(best.course)


def _rounding(levels: Sequence[float]) -> float:
    """The sum of squares below which a model of ``levels`` is better by rounding alone."""
    if not levels:
        return 0.0
    return len(levels) * (1e-4 * max(abs(fmean(levels)), max(levels) - min(levels), 1e-6)) ** 2


def _is_certain(model: _Model, squares: float, count: int, sure: float) -> bool:
    """Whether ``model`` is better than a constant by more than chance, all that were tried of its kind counted."""
    dof = count - model.parameters
    if dof < 1:
        return False
    ratio = (squares - model.squares) / (model.squares / dof)
    return f_above(ratio, 1, dof) * model.trials < 1 - sure


def _models(explain: Explains, count: int, least: float, known: int) -> Iterator[_Model]:
    squares, slope, left = explain([float(at) for at in range(count)])
    course: Course = "creeps" if slope > 0 else "falls"
    yield _Model(course, max(least, squares), known + 1, slope * (count - 1), left)
    if count < LEAST_FOR_STEP:
        return
    # a single level at an end may be a slip of one dress, so a step has two on each side
    places = range(2, count - 1, max(1, count // MOST_STEPS))
    steps = [(at, *explain([float(one >= at) for one in range(count)])) for at in places]
    at, squares, change, left = min(steps, key=lambda one: one[1])
    yield _Model("steps", max(least, squares), known + 2, change, left, trials=len(steps), at=at)
    sizes = (*SETTLING, *(share * count for share in SLOWEST if share * count > SETTLING[-1] / 2))
    settling = [explain([math.exp(-one / size) for one in range(count)]) for size in sizes]
    squares, change, left = min(settling, key=lambda one: one[0])
    yield _Model("settles", max(least, squares), known + 2, change, left, trials=2)


def _by_chance(count: int, known: int, sure: float) -> float:
    """What :func:`_alike` of independent levels stays below with the probability ``sure``, ``known`` being fitted.

    By the mean and variance of the ratio (von Neumann 1941). Each parameter fitted beside the mean takes about one
    degree of freedom and hardly any of the differences (Durbin and Watson 1950), and so lowers the likeness.
    """
    deviation = math.sqrt((count - 2) / (count**2 - 1))
    return NormalDist().inv_cdf(sure) * deviation - (known - 1) / (2 * (count - 2))


def _alike(left: Sequence[float]) -> float:
    """How much what is left is like what is left one dress later: 1 − half of von Neumann's ratio.

    That is the mean square of successive differences over the mean square. No other test that ignores the size tells
    a walk from independent levels more often.
    """
    whole = math.fsum(one * one for one in left)
    return 1 - math.fsum((b - a) ** 2 for a, b in itertools.pairwise(left)) / (2 * whole) if whole > 0 else 0.0
