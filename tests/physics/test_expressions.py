"""Expressions: the numbers a control would get, digit for digit where it matters."""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gen.plan.expression import (
    Condition,
    Expr,
    Num,
    Operation,
    Rounded,
    Rounding,
    Var,
    constant,
    evaluate,
    holds,
    names,
    num,
    on_grid,
    scaled,
    to_grid,
    to_integer,
)

MODES: dict[Rounding, str] = {"round": ROUND_HALF_UP, "floor": ROUND_FLOOR, "ceil": ROUND_CEILING}
values = st.floats(-1e6, 1e6)
hows = st.sampled_from(tuple(MODES))


@given(values, values, st.integers(1, 99))
def test_arithmetic_is_that_of_doubles_in_the_order_written(a: float, b: float, c: int) -> None:
    x, y = Var("x"), Var("y")
    assert evaluate((x + y) * c - (y - x) / c, {"x": a, "y": b}) == (a + b) * c - (b - a) / c
    assert evaluate(c - x * (c + y), {"x": a, "y": b}) == c - a * (c + b)
    assert evaluate(c / (x * x + c), {"x": a, "y": b}) == c / (a * a + c)


@given(hows, st.one_of(values, st.integers(-2000, 2000).map(lambda half: half / 2)))
def test_whole_numbers_round_as_decimals_do(how: Rounding, value: float) -> None:
    # ROUND of a control is half away from zero (RS274/NGC, NIST IR 6556, from memory); decimal calls that HALF_UP
    assert to_integer(how, value) == float(Decimal(value).to_integral_value(MODES[how]))


@pytest.mark.parametrize(("value", "rounded"), [(2.5, 3), (-2.5, -3), (0.49999999999999994, 0), (-0.4, 0), (3.4999, 3)])
def test_ties_go_away_from_zero_and_nought_has_no_sign(value: float, rounded: float) -> None:
    assert to_integer("round", value) == rounded
    assert math.copysign(1, to_integer("round", -0.4)) == 1


@given(st.floats(1e-9, 1e9), st.integers(6, 15), values)
def test_scaled_keeps_the_digits_of_its_constant(factor: float, digits: int, value: float) -> None:
    spelled = scaled(Var("x"), factor, digits)
    if isinstance(spelled, Operation):
        assert isinstance(spelled.right, Num)
        assert spelled.right.value >= 1
        assert len(spelled.right.value.as_tuple().digits) <= digits
    else:
        assert factor == pytest.approx(1, rel=10.0 ** (1 - digits))
    assert evaluate(spelled, {"x": value}) == pytest.approx(value * factor, rel=10.0 ** (1 - digits))


@given(st.floats(-1e9, 1e9).filter(bool), st.integers(6, 15))
def test_a_constant_is_off_by_half_its_last_digit_at_most(value: float, digits: int) -> None:
    assert float(constant(value, digits)) == pytest.approx(value, rel=0.51 * 10.0 ** (1 - digits))


@given(hows, st.decimals(-5000, 5000, places=6), st.sampled_from([Decimal(1), Decimal("0.1"), Decimal("0.001")]))
def test_a_number_comes_onto_the_grid_on_the_side_asked(how: Rounding, value: Decimal, grid: Decimal) -> None:
    on = to_grid(how, value, grid)
    assert on % grid == 0
    assert {"floor": 0 <= value - on < grid, "ceil": 0 <= on - value < grid, "round": abs(on - value) <= grid / 2}[how]
    assert on_grid(how, num(value), grid) == Num(on)
    spelled = on_grid(how, Var("x"), grid)
    assert evaluate(spelled, {"x": float(value)}) == pytest.approx(float(on), abs=float(grid) * 1.001)


@given(hows, st.integers(-5000, 5000), st.sampled_from([Decimal("0.25"), Decimal("0.5"), Decimal("0.75")]))
def test_an_expression_comes_onto_the_grid_as_its_number_would(how: Rounding, eighths: int, part: Decimal) -> None:
    # quarters of a step of 1/8 are exact in binary, so both ways must agree to the last digit
    grid = Decimal("0.125")
    value = (eighths + part) * grid
    assert evaluate(on_grid(how, Var("x"), grid), {"x": float(value)}) == float(to_grid(how, value, grid))


@given(values)
def test_what_changes_nothing_is_not_written(value: float) -> None:
    x = Var("x")
    assert all(same is x for same in (x + 0, x - 0, x * 1, x / 1, 0 + x))
    assert evaluate(0 - x, {"x": value}) == -value
    assert evaluate(1 / (x * x + 1), {"x": value}) == 1 / (value * value + 1)
    assert num(2) + 3 == Num(Decimal(5))


@given(values, values)
def test_conditions_compare_as_numbers_do(a: float, b: float) -> None:
    x, y = Var("x"), Var("y")
    here = {"x": a, "y": b}
    truth = {"lt": a < b, "le": a <= b, "eq": a == b, "ne": a != b, "ge": a >= b, "gt": a > b}
    assert {op: holds(Condition(op, x, y), here) for op in ("lt", "le", "eq", "ne", "ge", "gt")} == truth
    assert {op: holds(Condition(op, x, x), here) for op in ("lt", "le", "eq", "ne", "ge", "gt")} == {
        "lt": False, "le": True, "eq": True, "ne": False, "ge": True, "gt": False,
    }  # fmt: skip


def test_names_are_all_that_an_expression_reads() -> None:
    tree: Expr = Rounded("ceil", (Var("a") + 1) / (Var("b", "register") * 2))
    assert names(tree) == {"a", "b"}
    with pytest.raises(KeyError):
        evaluate(tree, {"a": 1.0})


@pytest.mark.parametrize("value", [Decimal("NaN"), Decimal("Infinity")])
def test_a_number_without_end_is_refused(value: Decimal) -> None:
    with pytest.raises(ValueError, match="finite"):
        num(value)
    with pytest.raises(ValueError, match="finite"):
        constant(float(value), 9)
