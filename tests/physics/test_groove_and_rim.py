"""A tall stick's groove and edge, a cup's rim and the stick removed, against shapes and definitions."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point, box

from gen.physics.contact import Geometry, edge_share, sagitta, working_diameters

diameters = st.floats(40, 400)


@given(diameters, st.floats(0.05, 0.95))
def test_the_groove_is_as_deep_as_a_round_wheel_stands_in_the_stick(diameter: float, share: float) -> None:
    # geometry: sagitta; the wheel as a polygon of 40 000 sides, which lies within D/2 (1 − cos(π/40000)) of round
    height = share * diameter
    wheel = Point(0, 0).buffer(diameter / 2, quad_segs=10_000)
    within_stick = wheel.intersection(box(0, -height / 2, diameter, height / 2))
    corner = max(x for x, y in within_stick.exterior.coords if abs(abs(y) - height / 2) < 1e-9)
    assert sagitta(height, diameter) == pytest.approx(within_stick.bounds[2] - corner, abs=1e-5)


@given(diameters, st.floats(0.05, 0.95))
def test_the_edge_of_a_tall_stick_meets_the_wheel_aslant(diameter: float, share: float) -> None:
    # geometry: the share of the feed along the wheel's normal where the stick's edge line cuts the circle
    height = share * diameter
    circle = Point(0, 0).buffer(diameter / 2, quad_segs=10_000).exterior
    met = circle.intersection(LineString([(0, height / 2), (diameter, height / 2)]))
    normal = math.atan2(met.y, met.x)
    assert edge_share(height, diameter) == pytest.approx(math.cos(normal), abs=1e-5)


def test_hand_worked_groove() -> None:
    # geometry, a right triangle of 3, 4 and 5: h/2 = 30, D/2 = 50 leave 40
    assert sagitta(60, 100) == pytest.approx(10)
    assert edge_share(60, 100) == pytest.approx(0.8)
    assert sagitta(0, 100) == 0


@given(diameters, st.floats(0, 100))
def test_a_stick_as_tall_as_the_wheel_has_no_groove(diameter: float, more: float) -> None:
    for question in (edge_share, sagitta):
        with pytest.raises(ValueError, match="lower than the wheel"):
            question(diameter + more, diameter)


@given(diameters, st.floats(0.02, 0.48))
def test_a_cup_works_between_the_middle_and_the_inside_of_its_rim(diameter: float, share: float) -> None:
    # geometry: nominal at D − W, the inside edge at D − 2W; the rim as a ring between two circles
    rim = diameter * share
    assume(diameter - 2 * rim > 1)
    ring = Point(0, 0).buffer(diameter / 2).difference(Point(0, 0).buffer(diameter / 2 - rim))
    cut = ring.intersection(LineString([(0, 0), (diameter, 0)]))
    middle, inside = working_diameters(Geometry(True, rim, rim, 10), diameter)
    assert middle / 2 == pytest.approx((cut.bounds[0] + cut.bounds[2]) / 2)
    assert inside / 2 == pytest.approx(cut.bounds[0])


def test_a_periphery_works_at_its_diameter() -> None:
    assert working_diameters(Geometry(False, 10, 10, 25), 125) == (125,)
