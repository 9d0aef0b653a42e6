"""Quantities: exact, and judged against pint, a general-purpose units library."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gen.base.quantities import Dimension, Quantity, QuantityError, System, parse, show, unit, units

PINT: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)

IN_PINT = {"mm/s2": "mm/s**2", "m/s2": "m/s**2", "in/s2": "in/s**2", "deg/s2": "deg/s**2", "rev/s": "turn/s"}

BASES: dict[Dimension, str] = {
    "length": "mm",
    "feed": "mm/min",
    "peripheral": "m/s",
    "rotation": "rpm",
    "time": "s",
    "power": "kW",
    "angle": "deg",
    "acceleration": "mm/s**2",
    "rotary_feed": "deg/min",
    "rotary_acceleration": "deg/s**2",
}

EVERY_UNIT = [(dimension, name) for dimension in BASES for name in units(dimension)]


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("20 m/s", "peripheral", "20"),
        ("4000 ft/min", "peripheral", "20.32"),
        ("6500 sfpm", "peripheral", "33.02"),
        ("1200 m/min", "peripheral", "20"),
        ("0.5 in", "length", "12.7"),
        ("1 in", "length", "25.4"),
        ("150 mm", "length", "150"),
        ("-20 mm", "length", "-20"),
        ("+.5 mm", "length", "0.5"),
        ("125 µm", "length", "0.125"),
        ("5 mm/s", "feed", "300"),
        ("300 mm/min", "feed", "300"),
        ("5 m/min", "feed", "5000"),
        ("11.8 in/min", "feed", "299.72"),
        ("1500 rpm", "rotation", "1500"),
        ("1500 rev/min", "rotation", "1500"),
        ("1500 1/min", "rotation", "1500"),
        ("2 s", "time", "2"),
        ("500 ms", "time", "0.5"),
        ("1 min", "time", "60"),
        ("2 kW", "power", "2"),
        ("750W", "power", "0.75"),
        ("3 deg", "angle", "3"),
        ("3°", "angle", "3"),
        ("500 mm/s^2", "acceleration", "500"),
        ("2 rpm", "rotary_feed", "720"),
        ("  7   mm ", "length", "7"),
    ],
)
def test_reads_exactly(text: str, dimension: Dimension, value: str) -> None:
    assert parse(text, dimension) == Decimal(value)


@given(st.sampled_from(EVERY_UNIT), st.decimals(-99999, 99999, places=4, allow_nan=False))
def test_agrees_with_pint(dimension_and_unit: tuple[Dimension, str], number: Decimal) -> None:
    dimension, name = dimension_and_unit
    judged = (Fraction(number) * PINT(IN_PINT.get(name, name))).to(BASES[dimension]).magnitude
    ours = Fraction(parse(f"{number} {name}", dimension))
    # pint's angle and revolution go through pi, a 50-digit fraction there; a wrong factor is off by far more
    assert abs(ours - Fraction(judged)) <= abs(Fraction(judged)) * Fraction(1, 10**15)


@pytest.mark.parametrize(("dimension", "name"), [pair for pair in EVERY_UNIT if pair[0] in ("length", "feed", "time")])
def test_lengths_feeds_and_times_are_exact(dimension: Dimension, name: str) -> None:
    judged = (Fraction("1234.5678") * PINT(name)).to(BASES[dimension]).magnitude
    assert Fraction(parse(f"1234.5678 {name}", dimension)) == judged


def test_the_base_unit_is_the_documented_one() -> None:
    for dimension, base in BASES.items():
        assert parse(f"1 {base.replace('**', '')}", dimension) == 1


@pytest.mark.parametrize(
    ("text", "dimension", "sentence"),
    [
        (5, "length", 'read 5, a bare number; a length needs its unit: "5 mm" or "5 in".'),
        ("5", "length", 'read "5", a bare number; a length needs its unit: "5 mm" or "5 in".'),
        (400, "feed", 'read 400, a bare number; a feed needs its unit: "400 mm/min" or "400 in/min".'),
        (Decimal("1.5"), "time", 'read 1.5, a bare number; a time needs its unit: "1.5 s".'),
        ("5 mm", "feed", 'read "5 mm", a length; a feed is wanted, such as "300 mm/min" or "11.8 in/min".'),
        ("3 s", "length", 'read "3 s", a time; a length is wanted, such as "5 mm" or "0.5 in".'),
        ("nan mm", "length", 'read "nan mm", which is not a finite number; write a length like "5 mm" or "0.5 in".'),
        ("-inf mm", "length", 'read "-inf mm", which is not a finite number; write a length like "5 mm" or "0.5 in".'),
        (float("nan"), "power", 'read nan, which is not a finite number; write a power like "2 kW".'),
        (Decimal("Infinity"), "angle", 'read infinity, which is not a finite number; write an angle like "3 deg".'),
        (
            "5 furlong",
            "length",
            'read "5 furlong", with a unit that is not known; '
            'a length is written in mm, um, cm, m, in or ft, such as "5 mm" or "0.5 in".',
        ),
        (
            "5 MM",
            "length",
            'read "5 MM", with a unit that is not known (did you mean "mm"?); '
            'a length is written in mm, um, cm, m, in or ft, such as "5 mm" or "0.5 in".',
        ),
        (
            "0,5 in",
            "length",
            'read "0,5 in", which is not a number and a unit; '
            'write a length with a point, not a comma, like "5 mm" or "0.5 in".',
        ),
        ("ten m", "length", 'read "ten m", which is not a number and a unit; write a length like "5 mm" or "0.5 in".'),
        ("", "length", 'read "", which is not a number and a unit; write a length like "5 mm" or "0.5 in".'),
        (True, "length", 'read true; a length is wanted, in quotes and with its unit: "5 mm" or "0.5 in".'),
        ([1], "time", 'read a list; a time is wanted, in quotes and with its unit: "2 s".'),
        (
            "1234567890123456789012345678901 mm",
            "length",
            'read "1234567890123456789012345678901 mm"; a number may have at most 30 digits, as in "5 mm" or "0.5 in".',
        ),
    ],
)  # fmt: skip
def test_says_what_was_read_and_what_would_do(text: object, dimension: Dimension, sentence: str) -> None:
    with pytest.raises(QuantityError, match=f"^{re.escape(sentence)}$"):
        parse(text, dimension)


@pytest.mark.parametrize(
    "text", ["1e3 mm", "1_000 mm", "1/2 in", "− 5 mm", "٥ mm", "5 mm mm", "5 mm\nG0", "5 mm;", "0x1F mm"]
)
def test_refuses_what_is_not_one_plain_number_and_one_unit(text: str) -> None:
    with pytest.raises(QuantityError):
        parse(text, "length")


def sentence_for(text: object, dimension: Dimension) -> str:
    try:
        return f"read {parse(text, dimension):f}."
    except QuantityError as error:
        return str(error)


@given(st.text() | st.integers() | st.floats() | st.decimals(), st.sampled_from(sorted(BASES)))
def test_any_input_gives_a_finite_number_or_one_printable_sentence(text: object, dimension: Dimension) -> None:
    said = sentence_for(text, dimension)
    assert said.isprintable()
    assert said.startswith("read ")
    assert said.endswith(".")
    assert len(said) < 250


def test_overlong_text_is_cut_in_the_message() -> None:
    with pytest.raises(QuantityError, match=r"\.\.\.\", which is too long for a length") as caught:
        parse("9" * 100_000 + " mm", "length")
    assert len(str(caught.value)) < 150


@pytest.mark.parametrize(
    ("value", "dimension", "system", "places", "text"),
    [
        ("300", "feed", "mm", None, "300 mm/min"),
        ("300", "feed", "inch", None, "11.81 in/min"),
        ("300", "feed", "inch", 3, "11.811 in/min"),
        ("12.7", "length", "inch", None, "0.5 in"),
        ("12.7", "length", "inch", 4, "0.5000 in"),
        ("20.32", "peripheral", "inch", None, "4000 ft/min"),
        ("20", "peripheral", "mm", 2, "20.00 m/s"),
        ("1E+3", "length", "mm", None, "1000 mm"),
        ("1E-9", "length", "mm", None, "0 mm"),
        ("-0.0004", "length", "mm", 3, "0.000 mm"),
        ("-0", "length", "mm", None, "0 mm"),
        ("0.0005", "length", "mm", None, "0.001 mm"),
        ("-0.0005", "length", "mm", None, "-0.001 mm"),
        ("100", "rotation", "inch", None, "100 rpm"),
        ("2", "power", "inch", None, "2 kW"),
    ],
)
def test_shows(value: str, dimension: Dimension, system: System, places: int | None, text: str) -> None:
    assert show(Decimal(value), dimension, system, places) == text


def test_shows_floats_and_refuses_what_is_not_finite() -> None:
    assert show(19.999999, "peripheral") == "20 m/s"
    with pytest.raises(ValueError, match="not a finite number"):
        show(float("inf"), "length")


@given(
    st.decimals(-9999, 9999, places=4, allow_nan=False),
    st.sampled_from(sorted(BASES)),
    st.sampled_from(("mm", "inch")),
)
def test_what_is_shown_reads_back(value: Decimal, dimension: Dimension, system: System) -> None:
    read = parse(show(value, dimension, system, places=9), dimension)
    one_step = parse(f"0.000000001 {unit(dimension, system)}", dimension)
    assert abs(read - value) <= one_step / 2


@pytest.mark.parametrize(
    ("field", "text", "limit"),
    [
        (Quantity("length", above=0), "0 mm", "more than 0 mm"),
        (Quantity("length", least=0), "-0.001 mm", "at least 0 mm"),
        (Quantity("angle", most=60), "60.1 deg", "at most 60 deg"),
    ],
)
def test_limits_are_named(field: Quantity, text: str, limit: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(f'read "{text}"; ') + f"an? .*of {limit} is wanted here"):
        field.read(text)


def test_limits_themselves() -> None:
    assert Quantity("length", least=0).read("0 mm") == 0
    assert Quantity("angle", most=60).read("60 deg") == 60


@given(st.sampled_from(EVERY_UNIT), st.decimals(-99999, 99999, places=3, allow_nan=False))
def test_the_pattern_for_editors_takes_what_is_read(dimension_and_unit: tuple[Dimension, str], number: Decimal) -> None:
    dimension, name = dimension_and_unit
    assert re.search(Quantity(dimension).pattern(), f"{number} {name}")


def test_the_pattern_for_editors_takes_nothing_else() -> None:
    pattern = Quantity("length").pattern()
    assert not any(re.search(pattern, text) for text in ("5", "5 s", "5 mm/min", "nan mm", "x5 mm", "5 mm x", "0,5 in"))
    assert re.search(Quantity("acceleration").pattern(), "5 mm/s^2")


def test_writes_every_digit() -> None:
    sixtieth = parse("1 m/min", "peripheral")
    assert parse(Quantity("peripheral").write(sixtieth), "peripheral") == sixtieth
    assert Quantity("length").write(Decimal("1.23456789")) == "1.23456789 mm"
    assert Quantity("length").write(Decimal("1E+2")) == "100 mm"
