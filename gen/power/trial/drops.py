"""What each dress of a trial took away: lines through the runs, and the power before and after every dress."""

from __future__ import annotations

import itertools
import math
import operator
import statistics
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from gen.base.dataclass import dataclass
from gen.power.aside import Aside
from gen.power.fit import Fit, fit
from gen.power.strays import strays
from gen.power.student import f_above
from gen.power.trial.log import TrialRun
from gen.power.trial.shares import Drop, Shares, shares

CERTAIN_CHANGE = 0.01
"""How improbable a steady level must be before a drift or a step is taken out."""
LEAST_FOR_CHANGE = 4
"""Degrees of freedom that are wanted before a drift or a step is looked for."""


@dataclass(frozen=True)
class RunLines:
    """The runs that have a power, each with its line in ``fit``, and the parts that were set aside."""

    runs: tuple[TrialRun, ...]
    fit: Fit
    aside: tuple[Aside, ...]


def drop_lines(runs: Sequence[TrialRun]) -> RunLines | None:
    """Lines through ``runs`` without the parts that lie far off; None with too few parts for a line."""
    aside = strays([run for run in runs if run.parts])
    far = {one.line for one in aside}
    kept = [replace(run, parts=tuple(part for part in run.parts if part.line not in far)) for run in runs]
    kept = [run for run in kept if run.parts]
    found = fit(kept)
    return None if found is None else RunLines(tuple(kept), found, aside)


def dropped(found: RunLines, targets: Sequence[float], usual_depth: float | None) -> list[Drop]:
    """What each dress between two runs that have a line took away.

    ``targets`` are from the lowest up; a dress of ``usual_depth`` mm counts as one.
    """
    drops: list[Drop] = []
    rise = found.fit.rise.variance.value
    pairs = itertools.pairwise(zip(found.runs, found.fit.lines, strict=True))
    for at, ((before, line_before), (after, line_after)) in enumerate(pairs, 1):
        if after.opening != "dress" or after.target is None or after.first != before.next_part:
            continue
        ahead = before.ground - statistics.fmean(before.since)
        variance = found.fit.noise.value * (1 / len(after.parts) + 0.25 / len(before.parts))
        variance += rise * (statistics.fmean(after.since) ** 2 + 0.25 * ahead**2)
        drops.append(
            Drop(
                rung=targets.index(after.target),
                dresses=after.dresses_by_depth(usual_depth),
                before_kw=line_before.at(before.ground),
                after_kw=line_after.at(0),
                variance=variance,
                at=at,
            )
        )
    return drops


@dataclass(frozen=True, slots=True)
class LevelChange:
    """A change of the level during the trial that no dress made.

    ``drift``: by ``kw`` over the whole trial. ``step``: by ``kw`` from the run at ``line`` on.
    """

    kind: Literal["drift", "step"]
    kw: float
    line: int


def levelled(found: RunLines, drops: Sequence[Drop], rungs: int, seed: int) -> tuple[Shares, LevelChange | None] | None:
    """The shares, and the drift or step of the level that is taken out where one is certain.

    Powers are then those of the trial's end.
    """
    plain = shares(drops, rungs, seed, draw=False)
    if plain is None:
        return None
    change, shapes = None, _shapes(found)
    if plain.dof >= LEAST_FOR_CHANGE:
        steady = _squares(drops, plain)
        # of each kind the one that leaves the least squares with the shares as they are
        likeliest = [
            max(same, key=lambda shape: _matched(drops, plain, shape)[1]) for same in (shapes[:1], shapes[1:]) if same
        ]
        tried = [_tried(drops, plain, rungs, seed, shape) for shape in likeliest]
        squares, best, moved = min(tried, key=operator.itemgetter(0))
        odds = f_above((steady - squares) / max(squares, 1e-15) * (plain.dof - 1), 1, plain.dof - 1)
        # a step may lie anywhere, so each place has its share of the chance of being taken for one
        if odds * (len(shapes) if best.kind == "step" else 1) < CERTAIN_CHANGE:
            change, drops = best, moved
    fitted = shares(drops, rungs, seed)
    return None if fitted is None else (fitted, change)


@dataclass(frozen=True, slots=True)
class _Shape:
    """A change of 1 kW in all, as a level for every run, 0 at the trial's end."""

    kind: Literal["drift", "step"]
    line: int
    levels: tuple[float, ...]


def _shapes(found: RunLines) -> list[_Shape]:
    """The changes that are looked for; a step leaves three runs on either side of it."""
    count = len(found.runs)
    ground = [0, *itertools.accumulate(run.ground for run in found.runs)]
    shapes = [_Shape("drift", found.runs[0].line, tuple(begin / max(1, ground[-2]) - 1 for begin in ground[:-1]))]
    for at in range(3, count - 2):
        shapes.append(_Shape("step", found.runs[at].line, tuple(-float(run < at) for run in range(count))))
    return shapes


def _tried(
    drops: Sequence[Drop], plain: Shares, rungs: int, seed: int, shape: _Shape
) -> tuple[float, LevelChange, Sequence[Drop]]:
    """The squares left without ``shape``, its size and the shares worked out in turn; that change, and the rest."""
    best, rest, size = plain, drops, 0.0
    for _ in range(2):
        size = _matched(drops, best, shape)[0]
        rest = [_moved(drop, size, shape.levels) for drop in drops]
        best = shares(rest, rungs, seed, draw=False) or best
    return _squares(rest, best), LevelChange(shape.kind, size, shape.line), rest


def _matched(drops: Sequence[Drop], best: Shares, shape: _Shape) -> tuple[float, float]:
    """The least-squares size of ``shape``, kW, and the squares it takes away, with the shares as they are.

    A change of the clean power is matched beside it.
    """
    aa = ab = bb = ae = be = 0.0
    for drop in drops:
        by_one = 1 - best.cleared[drop.rung]
        left = by_one**drop.dresses
        a, b, e = 1 - left, shape.levels[drop.at] - left * shape.levels[drop.at - 1], drop.missed(best.clean_kw, by_one)
        aa, ab, bb, ae, be = aa + a * a, ab + a * b, bb + b * b, ae + a * e, be + b * e
    whole = aa * bb - ab * ab
    if whole <= 1e-9 * aa * bb:
        return 0.0, 0.0
    size, clean = (aa * be - ab * ae) / whole, (bb * ae - ab * be) / whole
    return size, size * be + clean * ae


def _moved(drop: Drop, kw: float, levels: Sequence[float]) -> Drop:
    """``drop`` with ``kw`` times the ``levels`` of its runs taken off."""
    before, after = kw * levels[drop.at - 1], kw * levels[drop.at]
    return replace(drop, before_kw=drop.before_kw - before, after_kw=drop.after_kw - after)


def _squares(drops: Sequence[Drop], best: Shares) -> float:
    return math.fsum(drop.missed(best.clean_kw, 1 - best.cleared[drop.rung]) ** 2 for drop in drops)
