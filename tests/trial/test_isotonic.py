"""Pool adjacent violators, against scikit-learn's isotonic regression."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.isotonic import isotonic_regression

from gen.power.trial.isotonic import non_decreasing

PAIRS = st.lists(st.tuples(st.floats(-10, 10), st.floats(0.1, 5)), min_size=1, max_size=12)


@given(PAIRS)
def test_weighted_squares(pairs: list[tuple[float, float]]) -> None:
    values, weights = zip(*pairs, strict=True)
    wanted = isotonic_regression(values, sample_weight=weights)
    assert non_decreasing(values, weights) == pytest.approx(list(wanted), abs=1e-7)


def test_a_worked_example() -> None:
    # worked by hand: 3 and 1 are pooled to 2, then 2 with 1.5 to (3 + 1 + 1.5) / 3
    assert non_decreasing([1, 3, 1, 1.5, 4], [1, 1, 1, 1, 1]) == pytest.approx([1, 11 / 6, 11 / 6, 11 / 6, 4])
