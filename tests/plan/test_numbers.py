"""Numbers as they are written: every digit, a point as the control wants it, and nothing a control would misread."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gen.control.numbers import plain_number, whole, written
from gen.control.tables import Numbers

finite = st.decimals(-99_999, 99_999, allow_nan=False, allow_infinity=False, places=6)
tiny_to_huge = st.builds(
    lambda digits, exponent: Decimal(digits).scaleb(exponent), st.integers(-(10**6), 10**6), st.integers(-12, 6)
)


def fits(value: Decimal, places: int) -> bool:
    return value == round(value, places)


@given(st.one_of(finite, tiny_to_huge), st.integers(0, 6), st.sampled_from(("always", "needed", "scaled")))
def test_a_number_is_written_to_its_last_digit_or_not_at_all(value: Decimal, places: int, point: str) -> None:
    numbers = Numbers.model_validate({"point": point})
    if not fits(value, places):
        with pytest.raises(ValueError, match="does not fit"):
            written(value, places, numbers)
        return
    text = written(value, places, numbers)
    assert re.fullmatch(r"-?\d+(\.\d*)?", text), text
    assert not re.fullmatch(r"-[0.]*", text), "minus nought"
    assert re.match(r"-?(0(?!\d)|[1-9])", text), "leading noughts"
    read = Decimal(text)
    assert read == (value.scaleb(places) if point == "scaled" else value)
    assert ("." in text) == (point == "always" or (point == "needed" and value != int(value)))


@given(st.one_of(finite, tiny_to_huge))
def test_a_constant_keeps_every_digit(value: Decimal) -> None:
    text = plain_number(value)
    assert re.fullmatch(r"-?\d+(\.\d*[1-9])?", text), text
    assert text != "-0"
    assert Decimal(text) == value


@given(finite)
def test_a_count_has_no_point(value: Decimal) -> None:
    if value == int(value):
        assert whole(value) == str(int(value))
    else:
        with pytest.raises(ValueError, match="whole"):
            whole(value)


@pytest.mark.parametrize(
    ("value", "places", "point", "text"),
    [
        ("5", 3, "always", "5."),
        ("5.10", 3, "always", "5.1"),
        ("5", 3, "needed", "5"),
        ("-0.000", 3, "needed", "0"),
        ("-0", 3, "always", "0."),
        ("5", 3, "scaled", "5000"),
        ("-0.25", 4, "scaled", "-2500"),
        ("1E+3", 1, "needed", "1000"),
    ],
)
def test_hand_written_numbers(value: str, places: int, point: str, text: str) -> None:
    assert written(Decimal(value), places, Numbers.model_validate({"point": point})) == text
