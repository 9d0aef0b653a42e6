"""A cup's rim under a stick, held against areas of polygons.

The shapes are shapely's: circles of 8000 sides, which lie within 1e-6 of round.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import Point, Polygon, box
from shapely.affinity import translate
from shapely.ops import unary_union

from gen.physics.rim import horn, rim_section

diameters = st.floats(40, 200)
shares = st.floats(0.02, 0.45)


def ring(diameter: float, rim: float) -> Polygon:
    outer = Point(0, 0).buffer(diameter / 2, quad_segs=2_000)
    return outer.difference(Point(0, 0).buffer(diameter / 2 - rim, quad_segs=2_000))


def stick(diameter: float, rim: float, width: float, height: float, offset: float = 0.0) -> Polygon:
    middle = diameter / 2 - rim / 2 + offset
    return box(middle - width / 2, -height / 2, middle + width / 2, height / 2)


@given(diameters, shares, st.floats(1, 40), st.floats(1, 150), st.floats(-10, 10))
def test_the_section_is_ring_and_rectangle(d: float, share: float, width: float, height: float, offset: float) -> None:
    rim = d * share
    expected = ring(d, rim).intersection(stick(d, rim, width, height, offset)).area
    assert rim_section(d, rim, width, height, offset) == pytest.approx(expected, rel=1e-5, abs=1e-3)


def test_a_tall_stick_on_a_small_cup_touches_less_than_half_of_its_end() -> None:
    # geometry: a rim of 5 mm on 80 mm under a stick of 5 × 60 mm; the area was counted on a raster of 0.01 mm
    assert rim_section(80, 5, 5, 60) == pytest.approx(131, abs=1)
    assert horn(80, 5, 5, 60) == 5


@given(diameters, shares, st.floats(1, 40), st.floats(0.05, 0.95), st.lists(st.floats(-8, 8), min_size=1, max_size=4))
def test_a_horn_is_what_no_lane_covers_at_the_edge_of_the_stick(
    d: float, share: float, width: float, tall: float, offsets: list[float]
) -> None:
    rim, height = d * share, d * tall
    lanes = sorted({*offsets, *(-offset for offset in offsets)})
    assume(max(b - a for a, b in pairwise(lanes)) <= rim if len(lanes) > 1 else True)
    end = stick(d, rim, width, height)
    covered = unary_union([translate(ring(d, rim), offset) for offset in lanes])
    # a strip at the very edge of the stick, on the outer side of the rim's middle line
    strip = box(end.bounds[0], height / 2 - 0.002, end.bounds[2], height / 2)
    outside = strip.difference(covered).intersection(box(d / 2 - rim / 2, 0, 2 * d, d))
    assume(covered.intersects(strip))
    bare = 0.0 if outside.is_empty else outside.bounds[2] - outside.bounds[0]
    reaches_middle = horn(d, rim, width, height, lanes) >= width / 2
    if not reaches_middle:
        assert horn(d, rim, width, height, lanes) == pytest.approx(bare, abs=0.02)


def test_a_low_stick_leaves_next_to_none() -> None:
    # sagitta of 6 mm on 100 mm: 50 − √(2500 − 9) = 0.090 mm
    assert horn(100, 5, 5, 6) == pytest.approx(0.090, abs=5e-4)
    assert horn(100, 5, 4, 6) == 0
