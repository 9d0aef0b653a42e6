"""A program read over all states, tried at states drawn at random: one path holds each, and its formulas come true.

Arithmetic is checked against the reader with numbers in the registers, which
``rs274`` is held against elsewhere, and by hand.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gen.control.folders import load_control
from gen.plan.step import Register, Write
from gen.reader import ReadState, lower, run
from gen.reader.all_states.formulas import NotFollowed, difference, terms_of, value_at
from gen.reader.all_states.paths import Path, every_path
from gen.reader.all_states.reals import EVERY, Reals, common, complement, has, numbers_between, spread
from gen.reader.all_states.run import Excerpt, run_on

NUMBERS = st.one_of(st.integers(-12, 12).map(str), st.decimals(-9, 9, places=3).map(lambda value: f"{value:f}"))
ATOMS = st.one_of(NUMBERS.map(lambda text: f"[{text}]"), st.sampled_from(["#101", "#102", "#103"]))


def _larger(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    words = st.sampled_from(["+", "-", "*", "/", " GT ", " LE ", " EQ ", " NE ", " AND ", " OR "])
    rounded = st.tuples(st.sampled_from(["ROUND", "FIX", "FUP", "ABS"]), inner).map(
        lambda pair: f"{pair[0]}[{pair[1]}]"
    )
    return st.one_of(st.tuples(inner, words, inner).map(lambda parts: f"[{''.join(parts)}]"), rounded)


EXPRESSIONS = st.recursive(ATOMS, _larger, max_leaves=7)
PROGRAMS = st.tuples(EXPRESSIONS, EXPRESSIONS, EXPRESSIONS, EXPRESSIONS).map(
    lambda parts: (
        f"#104 = [{parts[0]}]\nO1 if [{parts[1]}]\n#104 = [#104+{parts[2]}]\nO1 else\n#105 = [{parts[3]}]\nO1 endif\n"
        "#200 = [#104]\n#201 = [#105]\nM2\n"
    )
)
STATE = st.tuples(*[st.one_of(st.integers(-9, 9), st.integers(-90, 90).map(lambda tenth: tenth / 10))] * 3)
SCRATCH = (100, 110)


@given(PROGRAMS, STATE)
@settings(max_examples=150)
def test_a_state_is_on_one_path_and_comes_to_the_same(text: str, values: tuple[float, ...]) -> None:
    control = load_control("rs274ngc", [])
    lowered = lower(text, control)
    registers: dict[Register, float | None] = {
        **dict(zip((101, 102, 103), map(float, values), strict=True)),
        104: 0.0,
        105: 0.0,
    }
    numbers = run(lowered, ReadState(registers=registers), registers={200, 201})
    holding = []
    try:
        for path, reading in every_path(lambda path: run_on(path, Excerpt(lowered), ReadState(), SCRATCH)):
            state = {
                number: Fraction(str(registers[what]))
                for number, (kind, what) in enumerate(path.unknowns.names)
                if kind == "register" and isinstance(what, int)
            }
            if _holds(path, state):
                holding.append((path, reading, state))
    except NotFollowed:
        return  # said, and nothing taken to be right
    if any("stops here" in why for _, _, why in numbers.unread):
        # past a division by zero the reading over all states goes on, as after an alarm
        assert all(reading.unread for _, reading, _ in holding)
        return
    ((path, reading, state),) = holding
    told = {step.register: step.value for step in reading.steps if isinstance(step, Write)}
    for step in numbers.steps:
        if isinstance(step, Write):
            found = value_at(terms_of(told[step.register]), path.unknowns, state)
            assert found is not None
            # a whole number may be another where a double is a hair beside the exact half
            assert abs(float(found) - step.value) < 1e-6 or _on_an_edge(text)


def _on_an_edge(text: str) -> bool:
    return any(word in text for word in ("ROUND", "FIX", "FUP")) and "/" in text


def _holds(path: Path, state: dict[int, Fraction]) -> bool:
    """Whether a state is on ``path``."""
    for key, left in path.domains.items():
        value = value_at(dict(key), path.unknowns, state)
        if value is None or not has(left, value):
            return False
    return True


def _path() -> Path:
    """The path on which the wheel has a size."""
    return next(path for path, positive in every_path(lambda path: path.register(501) > 0) if positive)


def test_two_ways_to_write_a_formula_are_one() -> None:
    path = _path()
    length, size = path.register(502), path.register(501)
    assert not difference(260 - (length + size / 2), (520 - size - 2 * length) * 0.5)
    assert not difference((length - 8) - 8, length - 16)
    assert not difference(size * length / size, length)
    assert difference(size * 0.1 * 3, size * 0.3000001)
    assert not difference(size * 0.1 * 3, size * 0.3)


def test_a_whole_number_comes_out_of_the_brackets() -> None:
    path = _path()
    value = path.register(502)
    assert isinstance(value, float) is False
    whole = path.floor(terms_of(value + 7))
    assert not difference(whole, path.floor(terms_of(value)) + 7)
    assert not difference(path.floor(terms_of(whole)), whole)
    assert difference(path.floor(terms_of(value + 0.5)), path.floor(terms_of(value)))


def test_large_numbers_that_cancel_are_not_followed() -> None:
    path = _path()
    length = path.register(502)
    with pytest.raises(NotFollowed):
        length + 1e17 - 1e17
    with pytest.raises(NotFollowed):
        (length * 1e-15 + 1 - 1) * 1e15
    with pytest.raises(NotFollowed):
        path.floor(terms_of(length + 1e17)) - 1e17


CUTS = st.lists(st.fractions(-5, 5, max_denominator=4), min_size=0, max_size=4, unique=True).map(sorted)
SETS = CUTS.map(
    lambda ends: tuple(one for a, b in zip(ends[::2], ends[1::2], strict=False) for one in numbers_between(a, b))
)
POINTS = st.fractions(-6, 6, max_denominator=8)


@given(SETS, SETS, POINTS, st.fractions(-3, 3, max_denominator=3).filter(bool), POINTS)
def test_sets_of_numbers(one: Reals, other: Reals, point: Fraction, factor: Fraction, offset: Fraction) -> None:
    assert has(common(one, other), point) == (has(one, point) and has(other, point))
    assert has(complement(one), point) != has(one, point)
    assert has(spread(one, factor, offset), point * factor + offset) == has(one, point)
    assert has(EVERY, point)
    assert has(numbers_between(-math.inf, offset, ends=False), point) == (point < offset)
    assert has(numbers_between(offset, offset), point) == (point == offset)
