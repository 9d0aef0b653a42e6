"""Least squares with hanging errors, and the best depth, against numpy and scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from gen.power.trial.depth import best_depth, characteristic_depth
from gen.power.trial.equations import cholesky, least_squares


@pytest.mark.parametrize("seed", range(5))
def test_generalised_least_squares(seed: int) -> None:
    # textbook: (Xᵀ V⁻¹ X)⁻¹ Xᵀ V⁻¹ y, by numpy's own inverse
    chance = np.random.default_rng(seed)
    design, wanted = chance.normal(size=(12, 3)), chance.normal(size=12)
    half = chance.normal(size=(12, 12))
    covariance = half @ half.T + np.eye(12)
    found = least_squares(design.T.tolist(), wanted.tolist(), covariance.tolist())
    assert found is not None
    inverse = np.linalg.inv(covariance)
    normal = np.linalg.inv(design.T @ inverse @ design)
    values = normal @ design.T @ inverse @ wanted
    rest = wanted - design @ values
    assert found.values == pytest.approx(list(values), rel=1e-8)
    assert np.array(found.covariance) == pytest.approx(normal, rel=1e-8)
    assert found.squares == pytest.approx(float(rest @ inverse @ rest), rel=1e-8)


def test_columns_that_tell_too_little_are_no_fit() -> None:
    unit = np.eye(4).tolist()
    assert least_squares([[1.0, 1, 1, 1], [2.0, 2, 2, 2]], [1.0, 2, 3, 4], unit) is None
    assert cholesky([[1.0, 2.0], [2.0, 1.0]]) is None


@given(st.floats(0.01, 50), st.floats(0.01, 5), st.floats(0.5, 40))
def test_the_best_depth_is_where_a_part_costs_least(fixed: float, per_mm: float, characteristic: float) -> None:
    found = best_depth(fixed, per_mm, characteristic)

    def cost(depth: float) -> float:
        return (fixed + per_mm * depth) / -math.expm1(-depth / characteristic)

    least = minimize_scalar(cost, bounds=(found / 20, found * 20 + 1e-6), method="bounded", options={"xatol": 1e-10})
    assert cost(found) <= least.fun * (1 + 1e-9)
    ratio = fixed / (per_mm * characteristic)
    root = brentq(lambda x: math.expm1(x) - x - ratio, 1e-9, 60)
    assert found / characteristic == pytest.approx(root, rel=1e-6)


def test_the_characteristic_depth() -> None:
    # 1 − e^(−1) of the loading goes at a depth of t₀, by definition
    assert characteristic_depth(1 - math.exp(-1), 8.0) == pytest.approx(8.0)
