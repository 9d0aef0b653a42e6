"""The datum from touches, against hand-worked sums and numpy's least squares."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import Result
from hypothesis import given
from hypothesis import strategies as st

from gen.base.places import data_folder
from gen.physics.contact import Geometry
from gen.physics.datum import Touch, datum_from
from runner import invoke

STRAIGHT = Geometry(face=False, wheel_width=10, stick_width=10, stick_height=25)
MACHINES = data_folder("machines")


def run(tmp_path: Path, rows: str, *words: str, machine: str = "north-bench") -> Result:
    touches = tmp_path / "touches.csv"
    touches.write_text(rows)
    file = MACHINES / machine / "machine.toml"
    return invoke("datum", str(touches), "--machine", str(file), *words)


def test_hand_worked() -> None:
    # a stick of 150 mm on a wheel of 125 mm touches at 47.5 mm: 47.5 + 150 + 62.5 = 260; one of 100 mm at 97.5 mm
    found = datum_from(STRAIGHT, [Touch(47.5, 150, 125), Touch(97.5, 100, 125)], 1)
    assert found.value == 260
    assert found.spread == 0
    assert found.residuals == (0, 0)


def test_an_axis_that_closes_the_gap_the_other_way() -> None:
    # s = -1: p = datum + L + D/2
    assert datum_from(STRAIGHT, [Touch(212.5, 150, 125), Touch(162.5, 100, 125)], -1).value == 0


@given(
    st.floats(-500, 500),
    st.lists(st.tuples(st.floats(30, 200), st.floats(50, 200), st.floats(-0.2, 0.2)), min_size=2, max_size=8),
    st.sampled_from([1, -1]),
)
def test_it_is_the_least_squares_of_numpy(true: float, touched: list[tuple[float, float, float]], sign: int) -> None:
    touches = [Touch(true - sign * (length + size / 2) + off, length, size) for length, size, off in touched]
    found = datum_from(STRAIGHT, touches, sign)
    # p + s (L + D/2) = datum, one unknown
    right = np.array([touch.position + sign * (touch.length + touch.size / 2) for touch in touches])
    (value,), *_ = np.linalg.lstsq(np.ones((len(touches), 1)), right, rcond=None)
    assert found.value == pytest.approx(value, abs=1e-9)
    assert found.residuals == pytest.approx(tuple(right - value), abs=1e-9)


def test_it_prints_what_goes_into_the_machine_file(tmp_path: Path) -> None:
    found = run(tmp_path, "position_mm,stick_length_mm,wheel_diameter_mm\n47.52,150,125\n97.48,100,125\n60,150,100\n")
    assert found.exit_code == 0, found.output
    assert found.stdout.endswith('datum = "260 mm"\n')


def test_json(tmp_path: Path) -> None:
    rows = "position_mm;stick_length_mm;wheel_diameter_mm\n47,5;150;125\n97,54;100;125\n"
    told = json.loads(run(tmp_path, rows, "--json").stdout)
    assert told["datum_mm"] == 260.02
    assert told["spread_mm"] == 0.04
    assert told["residuals_mm"] == [-0.02, 0.02]


def test_a_touch_that_is_half_a_millimetre_off_is_refused_by_its_line(tmp_path: Path) -> None:
    rows = "position_mm,stick_length_mm,wheel_diameter_mm\n47.5,150,125\n98,100,125\n60,150,100\n"
    found = run(tmp_path, rows)
    assert found.exit_code == 1
    assert "touches.csv:3: the touches differ by 0.500 mm" in found.stderr
    assert "datum =" not in found.stdout


def test_the_same_stick_and_wheel_twice_tell_less(tmp_path: Path) -> None:
    found = run(tmp_path, "position_mm,stick_length_mm,wheel_diameter_mm\n47.5,150,125\n47.5,150,125\n")
    assert found.exit_code == 0
    assert "would not show" in found.stderr


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("", "this file is empty"),
        ("position_mm,stick_length_mm,wheel_diameter_mm\n1,2,3\n", "1 touch is in this file"),
        ("position,stick_length_mm,wheel_diameter_mm\n1,2,3\n", 'did you mean "position"?'),
        ("position_mm,position_mm,stick_length_mm,wheel_diameter_mm\n1,1,2,3\n", "2 columns are called"),
        ("position_mm,stick_length_mm\n1,2\n", "neither is there"),
        ("position_mm,stick_length_mm,wheel_diameter_mm\n1,x,3\n1,2,3\n", "line 2: stick_length_mm"),
        ("position_mm,stick_length_mm,wheel_diameter_mm\n1,-2,3\n1,2,3\n", "must be more than 0"),
    ],
)
def test_what_cannot_be_used_is_said(tmp_path: Path, rows: str, said: str) -> None:
    found = run(tmp_path, rows)
    assert found.exit_code == 2
    assert said in found.stderr


def test_an_inclined_dresser_needs_its_recipe(tmp_path: Path) -> None:
    rows = "position_mm,stick_length_mm,wheel_diameter_mm\n47.5,150,125\n97.5,100,125\n"
    found = run(tmp_path, rows, machine="leaning-slide")
    assert found.exit_code == 2
    assert "--recipe" in found.stderr
    recipe = MACHINES / "leaning-slide/dress/clearance-wheel.toml"
    assert run(tmp_path, rows, "--recipe", str(recipe), machine="leaning-slide").exit_code == 0


def test_a_stand_off_has_no_datum(tmp_path: Path) -> None:
    rows = "position_mm,stick_length_mm,wheel_diameter_mm\n47.5,150,125\n97.5,100,125\n"
    found = run(tmp_path, rows, machine="shuttle")
    assert found.exit_code == 2
    assert "no datum to measure" in found.stderr


@pytest.mark.parametrize(
    ("machine", "recipe", "other", "wanted"),
    [
        ("south-bench", "gash-cup", "wheel_diameter_mm", "wheel_gauge_mm"),
        ("north-bench", "flute-rough", "wheel_gauge_mm", "wheel_diameter_mm"),
    ],
)
def test_a_gauge_is_no_diameter(tmp_path: Path, machine: str, recipe: str, other: str, wanted: str) -> None:
    # a diameter counts by its half, a gauge whole, so that one read as the other gives a wrong datum
    rows = f"position_mm,stick_length_mm,{other}\n47.5,150,125\n97.5,100,125\n"
    found = run(tmp_path, rows, "--recipe", str(MACHINES / machine / f"dress/{recipe}.toml"), machine=machine)
    assert found.exit_code == 2
    assert f"a column {wanted}" in found.stderr
