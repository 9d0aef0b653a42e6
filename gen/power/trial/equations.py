"""Least squares with errors that hang together, by Cholesky's factors (textbook)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gen.base.dataclass import dataclass

Matrix = list[list[float]]

_SINGULAR = 1e-10


def cholesky(matrix: Sequence[Sequence[float]]) -> Matrix | None:
    """The lower factor L of a symmetric ``matrix`` = L Lᵀ; None unless it is safely positive definite."""
    size = len(matrix)
    lower = [[0.0] * size for _ in range(size)]
    for row in range(size):
        for column in range(row + 1):
            left, above = lower[row], lower[column]
            rest = matrix[row][column] - math.fsum(left[at] * above[at] for at in range(column))
            if row == column:
                if rest <= _SINGULAR * matrix[row][row]:
                    return None
                left[row] = math.sqrt(rest)
            else:
                left[column] = rest / above[column]
    return lower


def forward(lower: Matrix, values: Sequence[float]) -> list[float]:
    """x with L x = ``values``."""
    found: list[float] = []
    for row, value in zip(lower, values, strict=True):
        known = math.fsum(factor * one for factor, one in zip(row, found, strict=False))
        found.append((value - known) / row[len(found)])
    return found


def backward(lower: Matrix, values: Sequence[float]) -> list[float]:
    """x with Lᵀ x = ``values``."""
    size = len(values)
    found = [0.0] * size
    for row in reversed(range(size)):
        known = math.fsum(lower[below][row] * found[below] for below in range(row + 1, size))
        found[row] = (values[row] - known) / lower[row][row]
    return found


@dataclass(frozen=True)
class Solution:
    """Coefficients of a least-squares fit; ``covariance`` is theirs where the errors' covariance is the one given.

    ``squares`` is the whitened residual sum of squares, ``residuals`` are whitened
    too. ``log_likelihood`` is the restricted one (REML) with the scale of the
    covariance taken as its best value, up to a constant.
    """

    values: list[float]
    covariance: Matrix
    squares: float
    residuals: list[float]
    log_likelihood: float


def least_squares(
    columns: Sequence[Sequence[float]], values: Sequence[float], covariance: Sequence[Sequence[float]]
) -> Solution | None:
    """``values`` as a sum of ``columns``, their errors having ``covariance`` up to a factor.

    None where the columns do not tell every coefficient, or no residual is left.
    """
    dof = len(values) - len(columns)
    lower = cholesky(covariance)
    if dof < 1 or lower is None:
        return None
    white = [forward(lower, column) for column in columns]
    wanted = forward(lower, values)
    normal = [[_dot(one, other) for other in white] for one in white]
    factor = cholesky(normal)
    if factor is None:
        return None
    found = backward(factor, forward(factor, [_dot(one, wanted) for one in white]))
    residuals = [
        value - math.fsum(number * column[at] for number, column in zip(found, white, strict=True))
        for at, value in enumerate(wanted)
    ]
    squares = _dot(residuals, residuals)
    units = [[float(row == column) for column in range(len(columns))] for row in range(len(columns))]
    inverse = [backward(factor, forward(factor, unit)) for unit in units]
    sizes = math.fsum(math.log(row[at]) for at, row in enumerate(lower))
    sizes += math.fsum(math.log(row[at]) for at, row in enumerate(factor))
    return Solution(found, inverse, squares, residuals, -dof / 2 * math.log(max(squares, 1e-30)) - sizes)


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return math.fsum(a * b for a, b in zip(one, other, strict=True))
