"""The power before and after each dress of a log, and whether these can tell the cleared share at all.

In a steady log the power that a dress takes away equals what a run adds, whatever
share of the loading a dress clears. The share is told by the clean power, by a
log that begins clean after truing, or by dresses made twice in a row now and then.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gen.power.cleared import Cleared, MatchedPair, cleared_share, explained
from gen.power.fit import Fit
from gen.power.runs import Run
from gen.power.shape import Bend
from gen.power.trend import LEAST_FOR_LINE, Trend, trend_in

LEAST_OF_EACH = 2
"""Single dresses, and double ones, without which one number of dresses tells nothing from the other."""


@dataclass(frozen=True, slots=True)
class Ends:
    """One run: its power just after the ``dresses``, and where it would have gone on, kW.

    ``start_parts`` and ``end_parts`` say by how much these change with the common rise, kW per kW/part.
    """

    start_kw: float
    end_kw: float
    dresses: float
    start_parts: float = 0.0
    end_parts: float = 0.0


@dataclass(frozen=True)
class Clearing:
    """What a log's dresses clear: the ends of its runs, and the fit to them.

    ``clean_kw`` is the clean power if it was given, ``rise_ratio`` as :func:`cleared_share` has it.
    """

    ends: tuple[Ends, ...]
    cleared: Cleared
    clean_kw: float | None
    rise_ratio: float

    @property
    def pairs(self) -> tuple[MatchedPair, ...]:
        return tuple(_pairs(self.ends))

    def trend(self, matters_kw: float) -> Trend | None:
        """What the power after a dress does beside loading and dresses; less change than ``matters_kw`` is none.

        None where there are too few runs to tell it beside the share.
        """
        pairs, runs = self.pairs, len(self.ends)
        known = 2 if self.clean_kw is not None else 3
        if runs - known < LEAST_FOR_LINE - 1:
            return None
        least = runs * (1e-4 * max(abs(run.start_kw) for run in self.ends)) ** 2

        def explain(shape: Sequence[float] | None) -> tuple[float, float, Sequence[float]]:
            each = None if shape is None else list(itertools.pairwise(shape))
            if each is not None and shape is not None and len(pairs) == runs:
                # truing comes before the first run
                each = [(shape[0], shape[0]), *each]
            found = explained(pairs, each, clean_kw=self.clean_kw, rise_ratio=self.rise_ratio)
            return found.squares, found.change_kw, found.left

        return trend_in(explain, runs, matters_kw, least, known)


def clearing_of(fit: Fit, bend: Bend, clean_kw: float | None) -> Clearing | None:
    """What the dresses of ``fit`` clear; None where nothing can tell it. ``clean_kw`` is net of idle, as the log."""
    straight = bend.shape == "straight"
    ends = tuple(_along_lines(fit) if straight else _as_measured(fit.runs))
    pairs = list(_pairs(ends))
    singles = sum(pair.dresses == 1 for pair in pairs)
    doubles = sum(1 < pair.dresses < math.inf for pair in pairs)
    begins_clean = math.isinf(ends[0].dresses)
    if clean_kw is None and not begins_clean and min(singles, doubles) < LEAST_OF_EACH:
        return None
    parts = math.fsum(len(run.parts) for run in fit.runs) / len(fit.runs)
    level = fit.noise.value / parts
    found, ratio = None, 0.0
    for _ in range(2):
        ratio = fit.rise.variance.value / level if straight and level > 0 else 0.0
        found = cleared_share(pairs, clean_kw=clean_kw, rise_ratio=ratio)
        if found is None:
            return None
        # levels scatter by more than the noise where dresses differ
        level = max(level, found.scatter_kw**2)
    return None if found is None else Clearing(ends, found, clean_kw, ratio)


def _pairs(ends: Sequence[Ends]) -> Iterator[MatchedPair]:
    first = ends[0]
    begins_clean = math.isinf(first.dresses)
    if begins_clean:
        yield MatchedPair(first.start_kw, first.start_kw, math.inf, after_parts=first.start_parts)
    for at, (before, run) in enumerate(itertools.pairwise(ends)):
        follows = begins_clean or at > 0
        yield MatchedPair(before.end_kw, run.start_kw, run.dresses, follows, before.end_parts, run.start_parts)


def _along_lines(fit: Fit) -> Iterator[Ends]:
    """The ends of straight runs, by the common rise."""
    for run, level in zip(fit.runs, fit.levels, strict=True):
        middle = math.fsum(run.since) / len(run.parts)
        start = level - fit.rise.value * fit.centre
        yield Ends(start, start + fit.rise.value * run.ground, run.dresses, -middle, run.ground - middle)


def _as_measured(runs: Sequence[Run]) -> Iterator[Ends]:
    """The ends of runs that bend: the first part itself, and the last with what one more part adds there."""
    long = [run for run in runs if len(run.parts) > 1]
    adds_first, adds_last = (
        math.fsum((run.powers[at + 1] - run.powers[at]) / (run.since[at + 1] - run.since[at]) for run in long)
        / len(long)
        for at in (0, -2)
    )
    for run in runs:
        start = run.powers[0] - adds_first * run.since[0]
        yield Ends(start, run.powers[-1] + adds_last * (run.ground - run.since[-1]), run.dresses)
