"""Speed, feed and aggressiveness against the trade's check values and a general-purpose units library."""

from __future__ import annotations

import math
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gen.base.quantities import parse
from gen.physics.contact import aggressiveness, feed_for, peripheral_speed, plunge_feed, rotation
from gen.plan.expression import Var, evaluate

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()

diameters = st.floats(5, 900)
speeds = st.floats(30, 30_000)
wheel_speeds = st.floats(0.5, 120)
targets = st.floats(10, 2000)
angles = st.floats(0, 60)


def sfpm(value: float) -> float:
    """Feet a minute in m/s, by the units library."""
    return float(UNITS.Quantity(value, "foot/minute").to("meter/second").magnitude)


def test_published_six_inches_at_6500_feet_a_minute_turn_4138_rpm() -> None:
    # published: rpm = 3.82 · sfpm / D_in; 3.82 · 6500 / 6 = 4138.3
    assert round(rotation(sfpm(6500), 6 * 25.4)) == 4138
    assert rotation(sfpm(6500), 6.0, mm_per_unit=25.4) == pytest.approx(4138.03, abs=0.01)


@given(st.floats(1, 30), st.floats(500, 20_000))
def test_rotation_is_the_trades_rule_within_its_three_digits(inches: float, feet: float) -> None:
    # published: rpm = 3.82 · sfpm / D_in; 12/π = 3.8197
    assert rotation(sfpm(feet), inches, mm_per_unit=25.4) == pytest.approx(3.82 * feet / inches, rel=1.5e-4)


def test_textbook_125_mm_at_3056_rpm_is_20_m_s() -> None:
    # textbook: v = π D n; π · 0.125 m · 3056 / 60 s = 20.0015 m/s
    assert f"{peripheral_speed(125, 3056):.2f}" == "20.00"


@given(diameters, speeds)
def test_peripheral_speed_by_the_units_library(diameter: float, rpm: float) -> None:
    expected = (UNITS.Quantity(diameter, "mm") * math.pi * UNITS.Quantity(rpm, "1/minute")).to("meter/second")
    assert peripheral_speed(diameter, rpm) == pytest.approx(expected.magnitude, rel=1e-12)
    feet = math.pi * UNITS.Quantity(diameter, "mm").to("inch").magnitude * rpm / 12  # textbook: sfpm = π D_in n / 12
    assert peripheral_speed(diameter, rpm) == pytest.approx(sfpm(feet), rel=1e-12)


@given(diameters, wheel_speeds)
def test_rotation_undoes_peripheral_speed(diameter: float, speed: float) -> None:
    assert peripheral_speed(diameter, rotation(speed, diameter)) == pytest.approx(speed, rel=1e-12)


def test_common_practice_250_at_20_m_s_is_5_mm_s() -> None:
    # common practice, no source: a target of 250; at 20 m/s that is 5 mm/s, so 25 mm or an inch takes about 5 s
    feed = feed_for(250, 20)
    assert feed == pytest.approx(300, rel=1e-12)
    assert feed / 60 == pytest.approx(5, rel=1e-12)
    assert 25 / (feed / 60) == pytest.approx(5)
    assert 25.4 / (feed / 60) == pytest.approx(5, abs=0.1)
    assert aggressiveness(5 * 60, 20) == pytest.approx(250, rel=1e-12)


def test_common_practice_200_to_300_is_4_to_6_mm_s_at_20_m_s() -> None:
    # common practice, no source
    assert [round(feed_for(target, 20) / 60, 9) for target in (200, 300)] == [4, 6]


@given(st.floats(1, 3000), wheel_speeds, angles)
def test_aggressiveness_is_the_share_of_two_speeds_in_the_same_unit(feed: float, speed: float, angle: float) -> None:
    # Aggr = 10⁶ · v_f cos α / v_s (Int. J. Machine Tools & Manufacture 154 (2020) 103567, cited from memory)
    normal = UNITS.Quantity(feed, "mm/minute") * math.cos(angle / 180 * math.pi)
    share = (normal / UNITS.Quantity(speed, "m/s")).to("dimensionless").magnitude
    assert aggressiveness(feed, speed, angle) == pytest.approx(1e6 * share, rel=1e-12)


@given(targets, wheel_speeds, angles)
def test_feed_for_a_target_gives_the_target_back(target: float, speed: float, angle: float) -> None:
    assert aggressiveness(feed_for(target, speed, angle), speed, angle) == pytest.approx(target, rel=1e-12)


def test_a_plunge_at_60_degrees_is_twice_as_fast() -> None:
    # geometry: cos 60° = 1/2
    assert feed_for(250, 20, 60) == pytest.approx(600, rel=1e-12)
    assert aggressiveness(300, 20, 60) == pytest.approx(125, rel=1e-12)


@given(targets, diameters, speeds, angles)
def test_plunge_feed_from_the_spindle_is_the_feed_from_the_wheel_speed(
    target: float, diameter: float, rpm: float, angle: float
) -> None:
    by_speed = feed_for(target, peripheral_speed(diameter, rpm), angle)
    assert plunge_feed(target, diameter, rpm, angle_deg=angle) == pytest.approx(by_speed, rel=1e-12)
    inches = plunge_feed(target, diameter / 25.4, rpm, angle_deg=angle)
    assert inches * 25.4 == pytest.approx(by_speed, rel=1e-12)


@given(targets, diameters, speeds, angles, wheel_speeds)
def test_an_expression_gives_the_numbers_that_floats_give(
    target: float, diameter: float, rpm: float, angle: float, speed: float
) -> None:
    here = {"D": diameter, "n": rpm}
    feed = plunge_feed(target, Var("D"), Var("n"), angle_deg=angle)
    assert evaluate(feed, here) == pytest.approx(plunge_feed(target, diameter, rpm, angle_deg=angle), rel=1e-11)
    turns = rotation(speed, Var("D"), mm_per_unit=25.4)
    assert evaluate(turns, here) == pytest.approx(rotation(speed, diameter, mm_per_unit=25.4), rel=1e-11)


@given(st.decimals(Decimal("0.001"), 10_000, places=3))
def test_inches_and_feet_are_read_as_the_units_library_has_them(value: Decimal) -> None:
    def expected(unit: str, base: str) -> float:
        return float(UNITS.Quantity(float(value), unit).to(base).magnitude)

    assert float(parse(f"{value} in", "length")) == pytest.approx(expected("inch", "mm"), rel=1e-12)
    assert float(parse(f"{value} in/min", "feed")) == pytest.approx(expected("inch/minute", "mm/minute"), rel=1e-12)
    assert float(parse(f"{value} ft/min", "peripheral")) == pytest.approx(sfpm(float(value)), rel=1e-12)
