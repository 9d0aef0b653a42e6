"""What errors at the machine make of the aggressiveness, worked by hand and against the definition."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gen.physics.contact import aggressiveness, peripheral_speed
from gen.physics.sensitivity import sensitivity, watch_time


def deviations(base: float, diameter_mm: float, angle_deg: float = 0.0) -> dict[tuple[str, float], float]:
    found = sensitivity(base, diameter_mm=diameter_mm, angle_deg=angle_deg).deviations
    return {(one.quantity, one.error): one.aggressiveness for one in found}


def test_worked_by_hand() -> None:
    # from the definition: 250 · 100/99, 250 · 0.9, 250 / 0.95, 250 · cos 1° = 250 · 0.99985
    found = deviations(250, diameter_mm=100)
    assert found["diameter", -1] == pytest.approx(252.525, abs=1e-3)
    assert found["diameter", 1] == pytest.approx(247.525, abs=1e-3)
    assert found["override", 90] == pytest.approx(225)
    assert found["override", 110] == pytest.approx(275)
    assert found["spindle", -5] == pytest.approx(263.158, abs=1e-3)
    assert found["angle", 1] == pytest.approx(249.962, abs=1e-3)


@given(st.floats(1, 500), st.floats(20, 400), st.floats(100, 9000), st.floats(1, 59))
def test_the_definition_at_the_true_values(feed: float, diameter: float, rpm: float, angle: float) -> None:
    # Aggr = 10⁶ v_f cos α / v_s at what is true, feed and rotation as programmed
    base = aggressiveness(feed, peripheral_speed(diameter, rpm), angle)
    found = deviations(base, diameter_mm=diameter, angle_deg=angle)
    true = {
        ("diameter", -1.0): aggressiveness(feed, peripheral_speed(diameter - 1, rpm), angle),
        ("diameter", 1.0): aggressiveness(feed, peripheral_speed(diameter + 1, rpm), angle),
        ("override", 90.0): aggressiveness(0.9 * feed, peripheral_speed(diameter, rpm), angle),
        ("override", 110.0): aggressiveness(1.1 * feed, peripheral_speed(diameter, rpm), angle),
        ("spindle", -5.0): aggressiveness(feed, peripheral_speed(diameter, 0.95 * rpm), angle),
        ("angle", -1.0): aggressiveness(feed, peripheral_speed(diameter, rpm), angle - 1),
        ("angle", 1.0): aggressiveness(feed, peripheral_speed(diameter, rpm), angle + 1),
    }
    assert found == {key: pytest.approx(value, rel=1e-9) for key, value in true.items()}


@given(st.floats(200, 300), st.floats(20, 400), st.floats(0, 60))
def test_at_its_tolerance_the_number_is_at_the_end_of_the_band(aggr: float, diameter: float, angle: float) -> None:
    for one in sensitivity(aggr, diameter_mm=diameter, angle_deg=angle).tolerances:
        for error, end in ((one.too_low, 200.0), (one.too_high, 300.0)):
            if error is None:
                assert one.quantity == "angle"
                assert aggr / math.cos(math.radians(angle)) < end + 1e-9
                continue
            at_error = {
                "diameter": aggr * diameter / (diameter + error),
                "override": aggr * error / 100,
                "spindle": aggr / (1 + error / 100),
                "angle": aggr * math.cos(math.radians(angle + error)) / math.cos(math.radians(angle)),
            }
            assert at_error[one.quantity] == pytest.approx(end, rel=1e-9)


def test_outside_its_band_there_is_no_tolerance() -> None:
    assert sensitivity(310).tolerances == ()
    assert not sensitivity(310).holds(310)


def test_the_watch() -> None:
    # common practice, no source: at 5 mm/s 25 mm of stick take 5 s
    assert watch_time(300) == pytest.approx(5.0)
