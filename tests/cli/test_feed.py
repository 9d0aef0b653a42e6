"""The quick answer, against the trade's own numbers."""

from __future__ import annotations

import pytest

from .conftest import Command


def test_the_default_target_at_twenty_metres_a_second(command: Command) -> None:
    # common practice, no source: 250 at 20 m/s is 5 mm/s, so 25 mm of stick take about 5 s
    answer = command("feed", "--wheel-speed", "20 m/s", "--length", "25 mm", "--json").document
    assert answer["feed_mm_min"] == 300
    assert answer["feed_mm_s"] == 5
    assert answer["time_s"] == 5
    assert answer["aggressiveness"] == 250


def test_a_feed_is_judged(command: Command) -> None:
    # the inverse of the above
    answer = command("feed", "--wheel-speed", "20 m/s", "--feed", "5 mm/s", "--json").document
    assert answer["aggressiveness"] == 250


def test_peripheral_speed_from_rpm(command: Command) -> None:
    # textbook: v = pi D n / 60000; 125 mm at 3056 rpm is 20.00 m/s
    answer = command("feed", "--diameter", "125 mm", "--rpm", "3056", "--json").document
    assert answer["wheel_speed_m_s"] == pytest.approx(20.00, abs=0.005)


def test_rpm_from_surface_feet(command: Command) -> None:
    # published rule rpm = 3.82 sfpm / D: 6 in at 6500 sfpm are 4138 rpm
    answer = command("feed", "--wheel-speed", "6500 ft/min", "--diameter", "6 in", "--json").document
    assert round(answer["rpm"]) == 4138


def test_an_inclined_plunge_is_faster(command: Command) -> None:
    # F = 0.06 Aggr v / cos(alpha): 300 mm/min / cos 60 deg = 600 mm/min
    answer = command("feed", "--wheel-speed", "20 m/s", "--angle", "60", "--json").document
    assert answer["feed_mm_min"] == pytest.approx(600)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--wheel-speed", "20"), "m/s"),
        (("--wheel-speed", "20 mm"), "m/s"),
        (("--diameter", "125 mm"), "speed is missing"),
        (("--wheel-speed", "20 m/s", "--feed", "5 mm/s", "--aggressiveness", "250"), "keep one"),
        (("--wheel-speed", "20 m/s", "--rpm", "3000"), "keep one"),
        (("--wheel-speed", "20 m/s", "--angle", "75"), "0 to 60"),
        (("--wheel-speed", "0 m/s"), "more than 0"),
        (("--wheel-speed", "20 m/s", "--aggressiveness", "nan"), "number"),
        ((), "speed is missing"),
    ],
)
def test_what_cannot_be_worked_out_is_said(command: Command, words: tuple[str, ...], said: str) -> None:
    outcome = command("feed", *words)
    assert outcome.code == 2
    assert said in outcome.err
    assert outcome.out == ""
