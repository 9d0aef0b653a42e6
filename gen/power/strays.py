"""Parts far from what their own run and the others say, found by medians, which such parts hardly move.

The slope between the parts of a run, the level of a run and the scatter about it
are medians. What is far from them is set aside and named, never averaged in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import median

from gen.power.aside import Aside, why_stray
from gen.power.runs import Run, without

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


def strays(runs: Sequence[Run]) -> tuple[Aside, ...]:
    """The parts of ``runs``, each of which has some, far from what their own run and the others say."""
    most = _MOST * sum(len(run.parts) for run in runs)
    found: list[Aside] = []
    for _ in range(3):
        more = _far(without(runs, {one.line for one in found}))
        if not more or len(found) + len(more) > most:
            break
        found += more
    return tuple(sorted(found, key=lambda one: one.line))


def _far(runs: Sequence[Run]) -> list[Aside]:
    slope = _slope(runs)
    levels = [median(power - slope * since for since, power in zip(run.since, run.powers, strict=True)) for run in runs]
    bent = [
        [power - level - slope * since for since, power in zip(run.since, run.powers, strict=True)]
        for run, level in zip(runs, levels, strict=True)
    ]
    places = _bend(runs, bent)
    left = [
        [power - places.get(since, 0.0) for since, power in zip(run.since, powers, strict=True)]
        for run, powers in zip(runs, bent, strict=True)
    ]
    sizes = [abs(one) for run in left for one in run]
    dof = len(sizes) - len(runs) - 1
    if dof < _FEW:
        return []
    least = ROUNDED * median(abs(power) for run in runs for power in run.powers)
    # a median of sizes does not see the zeros that short runs leave
    scatter = max(least, _NORMAL * median(sizes) * math.sqrt(len(sizes) / dof))
    usual = median(levels)
    apart = max(scatter, _NORMAL * median(abs(level - usual) for level in levels))
    found = []
    for run, level, missed in zip(runs, levels, left, strict=True):
        # the level of a short run may itself be the stray's
        is_long = len(run.parts) >= _FEW
        typical, far = (level, _FAR * scatter) if is_long else (usual, _FAR * apart)
        for part, since, miss in zip(run.parts, run.since, missed, strict=True):
            expected = typical + slope * since + places.get(since, 0.0)
            if abs(miss) > _FAR / 2 * scatter and abs(part.power_kw - expected) > far:
                found.append(Aside(part.line, why_stray(part.power_kw, expected, scatter), part.power_kw, expected))
    return found


def _slope(runs: Sequence[Run]) -> float:
    """The median slope between parts of one run, those far apart enough to tell one."""
    slopes = []
    for run in runs:
        parts = list(zip(run.since, run.powers, strict=True))
        least = max(1, min(_FARTHEST, len(parts)) // 2)
        for at, (since, power) in enumerate(parts):
            for later, more in parts[at + least : at + _FARTHEST]:
                if later > since:
                    slopes.append((more - power) / (later - since))
    return median(slopes) if slopes else 0.0


def _bend(runs: Sequence[Run], left: Sequence[Sequence[float]]) -> dict[int, float]:
    """By how much the runs leave the straight line at each place, where five or more have it."""
    at: dict[int, list[float]] = {}
    for run, powers in zip(runs, left, strict=True):
        for since, power in zip(run.since, powers, strict=True):
            at.setdefault(since, []).append(power)
    return {since: median(missed) for since, missed in at.items() if len(missed) > _FEW}
