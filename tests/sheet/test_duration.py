"""Cycle time against hand-worked kinematics."""

from __future__ import annotations

import pytest

from changed import changed
from gen.control.draft import draft
from gen.control.options import Options
from gen.paper.dressing import at_corners
from gen.paper.duration import dress_time, move_time
from gen.plan.step import Dwell, Move, Step
from gen.shop.machine import Axis, Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE


def axis(acceleration: str | None = None) -> Axis:
    given = {"travel": ["0 mm", "200 mm"], "max_feed": "600 mm/min", "max_rapid": "6 m/min"}
    return Axis.model_validate(given if acceleration is None else {**given, "acceleration": acceleration})


def test_without_acceleration_it_is_distance_over_speed() -> None:
    # 8 mm at 300 mm/min = 5 mm/s
    assert move_time(8, 300) == pytest.approx(1.6)


def test_trapezium() -> None:
    # 100 mm/s reached after 0.25 s and 12.5 mm at 400 mm/s²; 75 mm at speed take 0.75 s; 0.25 s to stop
    assert move_time(100, 6000, 400) == pytest.approx(1.25)


def test_triangle_where_the_speed_is_never_reached() -> None:
    # half of 4 mm at 400 mm/s²: 2 = 400 t²/2 gives t = 0.1 s, twice
    assert move_time(4, 6000, 400) == pytest.approx(0.2)


def test_trapezium_and_triangle_meet() -> None:
    # v²/a = 100²/400 = 25 mm is where the speed is just reached: 2 × 0.25 s
    assert move_time(25, 6000, 400) == pytest.approx(0.5)
    assert move_time(25 - 1e-9, 6000, 400) == pytest.approx(0.5)


def test_a_dress_adds_waits_and_known_moves_only() -> None:
    steps: list[Step] = [
        Move("rapid", 0, {"U": 50.0}, None, ("U",), "machine"),
        Move("rapid", 0, {"U": 50.0, "Z": 40.0}, None, ("Z",), "machine"),
        Dwell(0, 3.0),
        Move("feed", 0, {"U": 60.0, "Z": 40.0}, 300.0, ("U",), "machine"),
        Move("rapid", 0, {"U": 60.0, "Z": 30.0}, None, ("Z",), "machine"),
    ]
    # U 50 mm at 100 mm/s 0.5 s, where Z came from nobody knows, wait 3 s, 10 mm at 5 mm/s 2 s, Z 10 mm 0.1 s
    assert dress_time(steps, {"U": axis(), "Z": axis()}, {"U": 0.0}) == pytest.approx(5.6)
    # with 400 mm/s²: U 0.5 + 0.25, plunge 2 + 5/400, Z 2 √(10/400)
    assert dress_time(steps, {"U": axis("400 mm/s2"), "Z": axis("400 mm/s2")}, {"U": 0.0}) == pytest.approx(
        3 + 0.75 + 2.0125 + 0.31623, abs=1e-5
    )


def test_a_slide_that_moves_by_steps_takes_as_long_wherever_it_stands() -> None:
    machine = changed(
        MACHINE,
        {"dresser.motion": "incremental", "dresser.stand_off": "3 mm", "dresser.datum": None, "dresser.parked": "12 mm",
         "dresser.lateral_axis": None, "dresser.at": {}, "dresser.dresses_per_set_up": 8, "registers": None},
    )  # fmt: skip
    recipe = changed(RECIPE, {"wheel.lateral": None})
    pair = Recipe.model_validate(recipe), Machine.model_validate(machine)
    corners = at_corners(draft(*pair, ("bench", "opening"), Options()))
    assert {one.state.positions["U"] for one in corners} == {12, 12 + 7 * 8}
    # spindle 3 s, coolant 2 s, 3 + 8 mm at 1.2 · 250 = 300 mm/min (20 m/s), 3 mm back at 5 m/min
    assert [one.seconds for one in corners] == pytest.approx([3 + 2 + 2.2 + 0.036] * 4, abs=0.001)
