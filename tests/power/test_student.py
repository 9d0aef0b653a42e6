"""The quantiles, against scipy."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from gen.power.student import f_above, incomplete_beta, t_above, t_quantile

DOF = st.one_of(st.integers(1, 500), st.floats(0.8, 300))


@given(st.floats(0, 1), st.floats(0.05, 400), st.floats(0.05, 400))
def test_the_incomplete_beta_function(x: float, a: float, b: float) -> None:
    assert incomplete_beta(x, a, b) == pytest.approx(special.betainc(a, b, x), rel=1e-8, abs=1e-12)


@given(st.floats(0.001, 60), DOF)
def test_students_tail(t: float, dof: float) -> None:
    assert t_above(t, dof) == pytest.approx(stats.t.sf(t, dof), rel=1e-8, abs=1e-13)
    assert t_above(-t, dof) == pytest.approx(stats.t.cdf(t, dof), rel=1e-8)


@given(st.floats(0.001, 200), st.integers(1, 60), st.integers(1, 300))
def test_fishers_tail(f: float, above: int, below: int) -> None:
    assert f_above(f, above, below) == pytest.approx(stats.f.sf(f, above, below), rel=1e-8, abs=1e-12)


@given(st.sampled_from([0.005, 0.025, 0.05, 0.2, 0.5, 0.9, 0.95, 0.975, 0.99, 0.995]), DOF)
def test_students_quantile(probability: float, dof: float) -> None:
    assert t_quantile(probability, dof) == pytest.approx(stats.t.ppf(probability, dof), rel=1e-7, abs=1e-9)


@given(st.sampled_from([0.05, 0.5, 0.9, 0.95, 0.99]), st.integers(1, 300))
def test_fishers_quantile_of_one_degree_is_the_square_of_students(probability: float, below: int) -> None:
    square = t_quantile((1 + probability) / 2, below) ** 2
    assert square == pytest.approx(stats.f.ppf(probability, 1, below), rel=1e-6)


def test_the_quantiles_of_the_printed_tables() -> None:
    # any statistics textbook: t(0.975) of 1, 10 and 30 degrees of freedom
    assert t_quantile(0.975, 1) == pytest.approx(12.706, abs=5e-4)
    assert t_quantile(0.975, 10) == pytest.approx(2.228, abs=5e-4)
    assert t_quantile(0.975, 30) == pytest.approx(2.042, abs=5e-4)
