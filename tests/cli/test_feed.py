"""The quick answer, against the trade's own numbers."""

from __future__ import annotations

import re

import pytest

from runner import Command


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


def test_what_errors_at_the_machine_make_of_it(command: Command) -> None:
    # 250 · 0.9, 250 / 0.95, and 125 · (250/300 − 1) mm: the true diameter at which 250 has become 300
    document = command("feed", "--wheel-speed", "20 m/s", "--diameter", "125 mm", "--json").document
    found = {(one["error"], one["value"]): one["aggressiveness"] for one in document["sensitivity"]}
    assert found["override", 90] == pytest.approx(225)
    assert found["spindle", -5] == pytest.approx(263.158, abs=1e-3)
    assert found["diameter", -1] == pytest.approx(250 * 125 / 124)
    ends = {one["error"]: one for one in document["tolerances"]}
    assert ends["diameter"]["too_high"] == pytest.approx(-20.833, abs=1e-3)
    assert ends["override"] == {"error": "override", "too_low": 80, "too_high": 120}


def test_the_check_by_a_watch(command: Command) -> None:
    # common practice, no source: 25 mm at 5 mm/s take 5 s
    found = command("feed", "--wheel-speed", "20 m/s")
    assert "25 mm takes 5.0 s" in found.out
    assert "feed override 90 %: 225" in found.out


def test_a_narrow_band_is_left_sooner(command: Command) -> None:
    found = command("feed", "--wheel-speed", "20 m/s", "--band", "240,260")
    assert "feed override 90 %: 225, outside 240 to 260" in found.out
    assert command("feed", "--wheel-speed", "20 m/s", "--band", "260").code == 2


def test_the_answer_is_in_the_units_of_the_question(command: Command) -> None:
    # by hand: 250 at 4000 ft/min, which is 20.32 m/s, is 304.8 mm/min or 12 in/min
    found = command("feed", "--wheel-speed", "4000 sfpm", "--diameter", "6 in")
    assert "4000 sfpm" in found.out
    assert "12 in/min (0.2 in/s)" in found.out
    assert "1 in takes 5.0 s" in found.out
    assert "wheel diameter −0.04 in: 252" in found.out
    assert "mm" not in found.out
    assert command("feed", "--wheel-speed", "4000 sfpm", "--json").document["feed_mm_min"] == pytest.approx(304.8)


def test_the_answer_has_no_more_digits_than_matter(command: Command) -> None:
    found = command("feed", "--diameter", "101.3 mm", "--rpm", "3217", "--aggressiveness", "233", "--length", "7 mm")
    # 101.3 π · 3217 / 60000 = 17.0631 m/s; 0.06 · 233 · 17.0631 = 238.54 mm/min
    assert "17.06 m/s" in found.out
    assert "238.54 mm/min (3.98 mm/s)" in found.out
    assert not re.search(r"\d\.\d{3}", found.out)


def test_an_angle_matters_only_where_the_plunge_is_inclined(command: Command) -> None:
    assert "plunge angle" not in command("feed", "--wheel-speed", "20 m/s").out
    # 250 · cos 21° / cos 20° = 248.4
    assert "plunge angle +1°: 248" in command("feed", "--wheel-speed", "20 m/s", "--angle", "20").out


def test_german_says_the_peripheral_speed_of_a_wheel(command: Command) -> None:
    found = command("feed", "--wheel-speed", "20 m/s", "--language", "de").out
    assert found.startswith("Umfangsgeschwindigkeit  20 m/s\n")
    assert "Schnittgeschwindigkeit" not in found
