"""Whether the power rises along a straight line within a run, or bends.

A parabola is fitted through each run; its curvature is tested over the runs by
Student's t. A run that bends upward (convex) gets worse faster than a line says,
so it must not be carried on; one that bends downward (concave) is no line either.
"""

from __future__ import annotations

import math
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.power.estimate import Estimate, Variance
from gen.power.fit import Fit
from gen.power.line import line_through
from gen.power.runs import Run

Shape: TypeAlias = Literal["straight", "convex", "concave"]

_SURE = 0.95
"""How sure a bend must be, to its side."""
_MATTERS = 0.02
"""Share of the rise of a run by which its middle must leave the straight line for the bend to matter."""
_LEAST_RUNS = 3
"""Runs whose curvature can be told from chance."""


@dataclass(frozen=True, slots=True)
class Bend:
    """The ``shape`` of the runs, and the coefficient of the square of the parts since a dress, kW per part².

    ``curvature`` is None where too few runs are long enough to have one.
    """

    shape: Shape
    curvature: Estimate | None


def bend_of(fit: Fit) -> Bend:
    """How the runs of ``fit`` bend, all of them together."""
    found = [one for one in map(_curvature, fit.runs) if one is not None]
    if len(found) < _LEAST_RUNS:
        return Bend("straight", None)
    weight = math.fsum(size for _, size in found)
    mean = math.fsum(curve * size for curve, size in found) / weight
    scatter = math.fsum(size * (curve - mean) ** 2 for curve, size in found) / (len(found) - 1)
    curvature = Estimate(mean, Variance(scatter / weight, len(found) - 1))
    usual = fit.usual - 1
    if abs(mean) * usual**2 / 4 < _MATTERS * abs(fit.rise.value) * usual:
        return Bend("straight", curvature)
    if curvature.below(_SURE) > 0:
        return Bend("convex", curvature)
    return Bend("concave" if curvature.above(_SURE) < 0 else "straight", curvature)


def _curvature(run: Run) -> tuple[float, float] | None:
    """The coefficient of the square in the parabola through ``run``, and the sum of squares it was found with."""
    if len(run.parts) < 3:
        return None
    bent = line_through(line_through(run.since, [one * one for one in run.since]).left, run.powers)
    return bent.slope, bent.size
