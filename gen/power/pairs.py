"""The power before and after each dress of a log, and whether these can tell the cleared share at all.

In a steady log the power that a dress takes away equals what a run adds, whatever
share of the loading a dress clears. The share is told by the clean power, by a
log that begins clean after truing, or by dresses made twice in a row now and then.

A spindle that warms up is counted in (:class:`gen.power.cleared.PowerChange`): its
power grows by W (1 − e^(−t/τ)), t the parts since the log began, through runs and
dresses alike, so that the first runs are also steeper.
"""

from __future__ import annotations

import itertools
import math
import operator
from collections.abc import Callable, Iterator, Sequence
from statistics import fmean
from typing import TypeAlias

from gen.base.dataclass import dataclass
from gen.power.cleared import NO_SLOPES, Cleared, Explainer, MatchedPair, PowerChange, Slopes, cleared_share
from gen.power.fit import Fit
from gen.power.line import line_through
from gen.power.runs import Run
from gen.power.shape import Bend
from gen.power.trend import LEAST_FOR_LINE, Trend, trend_in

LEAST_OF_EACH = 2
"""Single dresses, and double ones, without which one number of dresses tells nothing from the other."""
WARMING = (0.5, 1.0, 2.0, 3.5, 6.0)
"""Runs in which what warms up comes within 1/e of where it settles, as tried."""


@dataclass(frozen=True)
class Clearing:
    """What a log's dresses clear: the powers before and after them in ``runs`` runs, and the fit to them.

    ``clean_kw`` is the clean power if it was given, ``slopes`` as :func:`cleared_share` has it.
    """

    pairs: tuple[MatchedPair, ...]
    runs: int
    cleared: Cleared
    clean_kw: float | None
    slopes: Slopes

    @property
    def begins_clean(self) -> bool:
        """Whether the log begins just after truing."""
        return math.isinf(self.pairs[0].dresses)

    def trend(self, matters_kw: float) -> Trend | None:
        """What the power after a dress does beside loading and dresses; less change than ``matters_kw`` is none.

        None where there are too few runs to tell it beside the share.
        """
        known = 2 if self.clean_kw is not None else 3
        if self.runs - known < LEAST_FOR_LINE - 1:
            return None
        least = self.runs * (1e-4 * max(abs(pair.after_kw) for pair in self.pairs)) ** 2
        explains = Explainer(self.pairs, self.clean_kw, self.slopes)

        def explain(shape: Sequence[float] | None) -> tuple[float, float, Sequence[float]]:
            each = None if shape is None else list(itertools.pairwise(shape))
            if each is not None and shape is not None and self.begins_clean:
                # truing comes before the first run
                each = [(shape[0], shape[0]), *each]
            return explains(each)

        return trend_in(explain, self.runs, matters_kw, least, known)


def clearing_of(fit: Fit, bend: Bend, clean_kw: float | None) -> Clearing | None:
    """What the dresses of ``fit`` clear; None where nothing can tell it. ``clean_kw`` is net of idle, as the log."""
    straight = bend.shape == "straight"
    pairs = tuple(_pairs(fit, straight=straight))
    singles = sum(pair.dresses == 1 for pair in pairs)
    doubles = sum(1 < pair.dresses < math.inf for pair in pairs)
    if clean_kw is None and not math.isinf(fit.runs[0].dresses) and min(singles, doubles) < LEAST_OF_EACH:
        return None
    level = fit.noise.value / fmean(len(run.parts) for run in fit.runs)
    runs = _Slopes.of(fit)
    found, slopes = None, NO_SLOPES
    for at in range(2):
        changes: tuple[PowerChange, ...] = ()
        if runs is not None and level > 0:
            slopes = runs.weighed(level)
            # by how much dresses differ is not known at first, and with it how much the slopes weigh
            if at:
                changes = tuple(_warming(fit, runs, level, clean_kw, straight=straight))
        found = cleared_share(pairs, clean_kw=clean_kw, slopes=slopes, changes=changes)
        if found is None:
            return None
        # levels scatter by more than the noise where dresses differ
        level = max(level, found.scatter_kw**2)
    return None if found is None else Clearing(pairs, len(fit.runs), found, clean_kw, slopes)


@dataclass(frozen=True)
class _Slopes:
    """The runs' own slopes less the common rise, kW/part, each of the variance ``variance`` over its ``size``."""

    runs: tuple[Run, ...]
    sizes: tuple[float, ...]
    slopes: tuple[float, ...]
    variance: float

    @classmethod
    def of(cls, fit: Fit) -> _Slopes | None:
        """The slopes of the runs of ``fit``; None without any scatter."""
        long = [(run, line) for run, line in zip(fit.runs, fit.own, strict=True) if line.size > 0]
        sizes = tuple(line.size for _, line in long)
        slopes = tuple(line.slope - fit.rise.value for _, line in long)
        # noise that is alike from part to part makes slopes differ by more than it shows within a run
        between = math.fsum(size * slope**2 for size, slope in zip(sizes, slopes, strict=True)) / max(1, len(long) - 1)
        variance = max(between, fit.rise.variance.value * math.fsum(sizes))
        return cls(tuple(run for run, _ in long), sizes, slopes, variance) if variance > 0 else None

    def weights(self, level: float) -> list[float]:
        return [math.sqrt(level * size / self.variance) for size in self.sizes]

    def weighed(self, level: float) -> Slopes:
        """They as :class:`Slopes`, where a residual has the variance ``level``, kW²."""
        weights = self.weights(level)
        return Slopes(tuple(map(operator.mul, weights, self.slopes)), tuple(weights))

    def along(self, level: float, course: Callable[[int], float]) -> tuple[float, ...]:
        """The slopes that a ``course`` by the number of a part gives the runs, weighed in the same way."""
        slopes = (line_through(run.since, [course(part.number) for part in run.parts]).slope for run in self.runs)
        return tuple(map(operator.mul, self.weights(level), slopes))


def _warming(
    fit: Fit, slopes: _Slopes, level: float, clean_kw: float | None, *, straight: bool
) -> Iterator[PowerChange]:
    """The courses of a spindle that warms up, from the first part of ``fit`` on."""
    first = fit.runs[0].parts[0].number
    rest = 0.0 if clean_kw is None else 1.0

    for runs in WARMING:
        parts = runs * fit.mean_length

        def course(number: int, parts: float = parts) -> float:
            return rest - math.exp((first - number) / parts)

        if not straight:
            each = [(course(run.parts[0].number), course(run.parts[-1].number + 1)) for run in fit.runs]
        else:
            means = [fmean(course(part.number) for part in run.parts) for run in fit.runs]
            each = [(mean, mean) for mean in means]
        between = [(before[1], after[0]) for before, after in itertools.pairwise(each)]
        if math.isinf(fit.runs[0].dresses):
            between.insert(0, (each[0][0], each[0][0]))
        yield PowerChange(tuple(between), slopes.along(level, course))


_End: TypeAlias = tuple[float, float]
"""The power where a run starts or would have gone on, kW, and by how much it changes with the common rise, in parts."""


def _pairs(fit: Fit, *, straight: bool) -> Iterator[MatchedPair]:
    ends = list(_along_lines(fit) if straight else _as_measured(fit.runs))
    if math.isinf(fit.runs[0].dresses):
        start, parts = ends[0][0]
        yield MatchedPair(start, start, math.inf, after_parts=parts)
    for ((_, before), (after, _)), run in zip(itertools.pairwise(ends), fit.runs[1:], strict=True):
        yield MatchedPair(before[0], after[0], run.dresses, before[1], after[1])


def _along_lines(fit: Fit) -> Iterator[tuple[_End, _End]]:
    """The ends of straight runs, by the common rise."""
    for run, line, level in zip(fit.runs, fit.own, fit.levels, strict=True):
        start = level - fit.rise.value * fit.centre
        yield (start, -line.middle), (start + fit.rise.value * run.ground, run.ground - line.middle)


def _as_measured(runs: Sequence[Run]) -> Iterator[tuple[_End, _End]]:
    """The ends of runs that bend: the first part itself, and the last with what one more part adds there."""
    long = [run for run in runs if len(run.parts) > 1]
    adds_first, adds_last = (
        fmean((run.powers[at + 1] - run.powers[at]) / (run.since[at + 1] - run.since[at]) for run in long)
        for at in (0, -2)
    )
    for run in runs:
        start, end = run.powers[0] - adds_first * run.since[0], adds_last * (run.ground - run.since[-1])
        yield (start, 0.0), (run.powers[-1] + end, 0.0)
