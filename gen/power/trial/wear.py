"""What a dress takes off the wheel: the diameters measured after dresses, taken apart by target.

A diameter is what the wheel had at first, less a loss for each part ground, less
a loss for each dress at its target. Two kinds of error are told apart by
restricted maximum likelihood (textbook): that of measuring, new each time, and
that of dresses and parts which differ from each other, which stays in the wheel.
"""

from __future__ import annotations

import math
import operator
import random
import statistics
from collections.abc import Sequence

from gen.base.dataclass import dataclass
from gen.power.student import t_above
from gen.power.trial.equations import Solution, cholesky, least_squares
from gen.power.trial.isotonic import non_decreasing
from gen.power.trial.log import TrialRun

STAYS = (0.0, 0.1, 0.3, 1.0, 3.0, 10.0)
"""Variances of what stays in the wheel at each dress, as a multiple of that of measuring, that are tried."""
FAR_OFF = 5.0
"""A reading that lies so many standard deviations off is set aside, by its line."""


@dataclass(frozen=True)
class WheelWear:
    """Loss of the wheel's diameter, mm: for each dress at each rung, and for each part ground.

    ``draws`` are losses by rung that the readings allow, none of them a gain, so
    ``sure`` says how likely it is that dresses, alone and with the parts, took
    anything at all. ``aside`` has the lines of readings that were set aside.
    """

    per_dress: tuple[float, ...]
    per_part: float
    draws: tuple[tuple[float, ...], ...]
    sure: float
    aside: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Reading:
    diameter: float
    line: int
    epoch: int
    ground: int
    dresses: tuple[float, ...]


def wear(
    runs: Sequence[TrialRun], targets: Sequence[float], usual_depth: float | None, draws: int, seed: int = 1
) -> WheelWear | None:
    """The losses at ``targets``, from the lowest up; None where the readings do not tell them apart."""
    readings = _readings(runs, targets, usual_depth)
    aside: list[int] = []
    while True:
        solution = _solved(readings, len(targets))
        if solution is None:
            return None
        size = 1.4826 * statistics.median(abs(one) for one in solution.residuals)
        worst = max(range(len(readings)), key=lambda at: abs(solution.residuals[at]))
        if size <= 0 or abs(solution.residuals[worst]) < FAR_OFF * size or len(aside) + 1 > 0.1 * len(readings):
            break
        aside.append(readings.pop(worst).line)
    return _wear(solution, readings, len(targets), draws, seed, tuple(sorted(aside)))


def _readings(runs: Sequence[TrialRun], targets: Sequence[float], usual_depth: float | None) -> list[_Reading]:
    """Each reading with what was ground and dressed since the first one, or since the wheel was trued."""
    found: list[_Reading] = []
    epoch, ground, dresses = 0, 0, [0.0] * len(targets)
    for run in runs:
        if run.opening == "truing" or (run.dresses and run.target is None):
            # nothing tells what truing or such a dress took, so the series begins anew
            epoch, ground, dresses = epoch + 1, 0, [0.0] * len(targets)
        elif run.dresses and run.target is not None:
            dresses[targets.index(run.target)] += run.dresses_by_depth(usual_depth)
        if run.wheel is not None:
            at = ground + run.wheel.since
            found.append(_Reading(run.wheel.diameter_mm, run.wheel.line, epoch, at, tuple(dresses)))
        ground += run.ground
    return found


def _solved(readings: Sequence[_Reading], rungs: int) -> Solution | None:
    """The likeliest of the fits; columns: a diameter for each epoch, parts, dresses by rung."""
    epochs = sorted({one.epoch for one in readings})
    columns = [[float(one.epoch == epoch) for one in readings] for epoch in epochs]
    columns.append([-float(one.ground) for one in readings])
    columns += [[-one.dresses[rung] for one in readings] for rung in range(rungs)]
    diameters = [one.diameter for one in readings]
    made = [sum(one.dresses) for one in readings]
    best: Solution | None = None
    for stays in STAYS:
        covariance = [
            [
                float(row == column) + (stays * min(made[row], made[column]) if one.epoch == other.epoch else 0.0)
                for column, other in enumerate(readings)
            ]
            for row, one in enumerate(readings)
        ]
        found = least_squares(columns, diameters, covariance)
        if found is not None and (best is None or found.log_likelihood > best.log_likelihood):
            best = found
    return best


def _wear(
    solution: Solution, readings: Sequence[_Reading], rungs: int, draws: int, seed: int, aside: tuple[int, ...]
) -> WheelWear:
    values = solution.values[-rungs:]
    dof = len(readings) - len(solution.values)
    variance = max(solution.squares / dof, 1e-12)
    covariance = [[variance * cell for cell in row[-rungs:]] for row in solution.covariance[-rungs:]]
    weights = [1 / covariance[at][at] for at in range(rungs)]
    lower = cholesky(covariance)
    chance = random.Random(seed)
    drawn = []
    for _ in range(draws):
        scale = math.sqrt(dof / (2 * chance.gammavariate(dof / 2, 1)))
        free = [chance.gauss(0, 1) for _ in range(rungs)]
        moved = [
            value + scale * math.fsum(factor * one for factor, one in zip(row, free, strict=True))
            for value, row in zip(values, lower or [[0.0] * rungs] * rungs, strict=True)
        ]
        drawn.append(_ordered(moved, weights))
    per_part = max(0.0, solution.values[-rungs - 1])
    return WheelWear(_ordered(values, weights), per_part, tuple(drawn), _sure(solution, readings, variance, dof), aside)


def _sure(solution: Solution, readings: Sequence[_Reading], variance: float, dof: int) -> float:
    """How likely it is that all dresses together took something, and that dresses and parts together did."""
    ends = {one.epoch: one for one in readings}.values()
    made = [math.fsum(one.dresses[rung] for one in ends) for rung in range(len(readings[0].dresses))]
    count = len(made) + 1
    values, covariance = solution.values[-count:], [row[-count:] for row in solution.covariance[-count:]]
    found = []
    for ground in (0, sum(one.ground for one in ends)):
        taken = [ground, *made]
        lost = sum(map(operator.mul, taken, values))
        error = sum(many * sum(map(operator.mul, taken, row)) for many, row in zip(taken, covariance, strict=True))
        found.append(1 - t_above(lost / math.sqrt(variance * error), dof))
    return min(found)


def _ordered(values: Sequence[float], weights: Sequence[float]) -> tuple[float, ...]:
    """Losses that are not negative and do not fall with the target."""
    return tuple(max(0.0, one) for one in non_decreasing(values, weights))
