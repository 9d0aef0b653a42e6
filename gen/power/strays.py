"""Parts far from what their own run and the others say, found by medians, which such parts hardly move.

The slope between the parts of a run, the level of a run and the scatter about it
are medians. What is far from them is set aside and named, never averaged in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import median
from typing import TypeAlias

from gen.power.aside import Aside, why_stray
from gen.power.runs import Run

_FAR = 6.0
"""Standard deviations from its run's line at which a part is set aside."""
ROUNDED = 0.004
"""Share of the power that is taken for the least scatter, so that rounding sets nothing aside."""
_MOST = 0.25
"""Share of the parts that may be set aside; more is no slip but the way this log is."""
_FEW = 4
_FARTHEST = 12
_NORMAL = 1.4826
"""The standard deviation over the median of the sizes, for normal scatter."""

_Parts: TypeAlias = list[tuple[int, float, int]]


def strays(runs: Sequence[Run]) -> tuple[Aside, ...]:
    """The parts of ``runs`` far from what their own run and the others say."""
    kept = [list(zip(run.since, run.powers, [part.line for part in run.parts], strict=True)) for run in runs]
    whole = sum(map(len, kept))
    found: list[Aside] = []
    for _ in range(3):
        more = _far(kept)
        if not more or len(found) + len(more) > _MOST * whole:
            break
        found += more
        lines = {one.line for one in more}
        kept = [[part for part in run if part[2] not in lines] for run in kept]
    return tuple(sorted(found, key=lambda one: one.line))


def _far(runs: Sequence[_Parts]) -> list[Aside]:
    slope = _slope(runs)
    levels = [median(power - slope * since for since, power, _ in run) if run else math.nan for run in runs]
    places = _bend(runs, levels, slope)
    left = [
        [power - level - slope * since - places.get(since, 0.0) for since, power, _ in run]
        for run, level in zip(runs, levels, strict=True)
    ]
    sizes = [abs(one) for run in left for one in run]
    dof = len(sizes) - sum(map(bool, runs)) - 1
    if dof < _FEW:
        return []
    least = ROUNDED * median(abs(power) for run in runs for _, power, _ in run)
    # a median of sizes does not see the zeros that short runs leave
    scatter = max(least, _NORMAL * median(sizes) * math.sqrt(len(sizes) / dof))
    usual = median(level for level in levels if not math.isnan(level))
    apart = max(scatter, _NORMAL * median(abs(level - usual) for level in levels if not math.isnan(level)))
    found = []
    for run, level, missed in zip(runs, levels, left, strict=True):
        for (since, power, line), miss in zip(run, missed, strict=True):
            # the level of a short run may itself be the stray's
            typical = level if len(run) >= _FEW else usual
            expected = typical + slope * since + places.get(since, 0.0)
            far = _FAR * (scatter if len(run) >= _FEW else apart)
            if abs(miss) > _FAR / 2 * scatter and abs(power - expected) > far:
                found.append(Aside(line, why_stray(power, expected, scatter), power, expected))
    return found


def _slope(runs: Sequence[_Parts]) -> float:
    """The median slope between parts of one run, those far apart enough to tell one."""
    slopes = []
    for run in runs:
        least = max(1, min(_FARTHEST, len(run)) // 2)
        for at, (since, power, _) in enumerate(run):
            for later, more, _ in run[at + least : at + _FARTHEST]:
                if later > since:
                    slopes.append((more - power) / (later - since))
    return median(slopes) if slopes else 0.0


def _bend(runs: Sequence[_Parts], levels: Sequence[float], slope: float) -> dict[int, float]:
    """By how much the runs leave the straight line at each place, where five or more have it."""
    at: dict[int, list[float]] = {}
    for run, level in zip(runs, levels, strict=True):
        for since, power, _ in run:
            at.setdefault(since, []).append(power - level - slope * since)
    return {since: median(missed) for since, missed in at.items() if len(missed) > _FEW}
