"""Lanes and stations: together they cover the wider of stick and wheel, and nothing beside it."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import box, unary_union

from gen.physics.contact import Geometry
from gen.physics.end_face import SLIVER, EndFace, WornEnd
from gen.physics.lanes import ALIKE, lanes
from gen.physics.visits import Bite, visited

widths = st.floats(0.5, 80)
overlaps = st.floats(0, 20)
NEAR = 1e-6


def facing(wheel: float, stick: float) -> Geometry:
    return Geometry(face=False, wheel_width=wheel, stick_width=stick, stick_height=10)


@given(widths, widths, overlaps)
def test_every_part_of_the_wider_one_is_visited(wheel: float, stick: float, overlap: float) -> None:
    narrow, wide = sorted((wheel, stick))
    assume(wide / narrow < 50 and (wide == narrow or wide - narrow > ALIKE))
    visited = lanes(facing(wheel, stick), overlap=overlap).offsets
    union = unary_union([box(offset - narrow / 2, 0, offset + narrow / 2, 1) for offset in visited])
    assert union.area == pytest.approx(wide, abs=NEAR)
    assert union.bounds == pytest.approx((-wide / 2, 0, wide / 2, 1), abs=NEAR)


@given(widths, widths, overlaps)
def test_neighbours_overlap_as_asked_and_no_lane_is_spare(wheel: float, stick: float, overlap: float) -> None:
    narrow, wide = sorted((wheel, stick))
    assume(wide / narrow < 50 and wide - narrow > ALIKE)
    visited = lanes(facing(wheel, stick), overlap=overlap).offsets
    asked = min(overlap, narrow / 2)
    shared = [narrow - (right - left) for left, right in pairwise(visited)]
    assert all(one >= asked - NEAR for one in shared)
    fewer = len(visited) - 1
    assert fewer * narrow - (fewer - 1) * asked < wide + NEAR, "one lane fewer would have done"


@given(widths, widths, overlaps)
def test_lanes_are_the_stick_s_and_stations_the_wheel_s(wheel: float, stick: float, overlap: float) -> None:
    assume(abs(wheel - stick) > ALIKE and max(wheel, stick) / min(wheel, stick) < 50)
    visits = lanes(facing(wheel, stick), overlap=overlap)
    assert len(visits.offsets) > 1
    assert visits.stick_is_wider == (stick > wheel)
    assert visits.cuts_per_pass == (1 if stick > wheel else len(visits.offsets))


@given(widths, overlaps)
def test_equal_widths_need_one_visit(width: float, overlap: float) -> None:
    assert lanes(facing(width, width), overlap=overlap).offsets == (0,)


@given(widths, st.floats(0, 0.1), overlaps)
def test_one_pass_over_the_lanes_takes_one_depth_off_a_stick_that_is_hardly_wider(
    wheel: float, more: float, overlap: float
) -> None:
    """What one lane leaves standing is what the next one meets: too little to meet must not be cut a second time."""
    visits = lanes(facing(wheel, wheel + more), overlap=overlap)
    bites = [Bite(0, k, at - wheel / 2, at + wheel / 2, 3.0, first=k == 0) for k, at in enumerate(visits.offsets)]
    seen, end = visited(EndFace.flat(wheel + more), bites)
    assert sum(visit.lowered for visit in seen) == pytest.approx(3.0)
    assert end.deepest == pytest.approx(3.0)
    assert end.standing(3.0) == ()


@given(widths, widths, overlaps)
def test_one_lane_leaves_walls_beside_it(wheel: float, stick: float, overlap: float) -> None:
    assume(abs(stick - wheel) > 4 * SLIVER)
    visits = lanes(facing(wheel, stick), overlap=overlap, only_one=True)
    assert visits.offsets == (0,)
    walls = box(-stick / 2, 0, stick / 2, 1).difference(box(-wheel / 2, 0, wheel / 2, 1))
    left = EndFace.flat(stick).cut(-wheel / 2, wheel / 2, 1.0).standing(1.0)
    assert sum(left) == pytest.approx(walls.area, abs=NEAR)
    assert len(left) == (2 if stick > wheel else 0)


def test_one_lane_lies_where_it_is_asked_for() -> None:
    assert lanes(facing(6, 16), overlap=1, only_one=True, at=-4.5).offsets == (-4.5,)
    assert lanes(facing(6, 16), overlap=1, at=-4.5).offsets == pytest.approx((-5, 0, 5))


def test_hand_worked_lanes() -> None:
    # a 16 mm stick before a 6 mm wheel, 1 mm shared: 6 + 5 + 5 = 16, so three lanes 5 mm apart
    assert lanes(facing(6, 16), overlap=1).offsets == pytest.approx((-5, 0, 5))
    # 25 mm of wheel, 12 mm of stick, 2 mm shared: 12 + 10 leave 3 mm, so three stations 6.5 mm apart
    assert lanes(facing(25, 12), overlap=2).offsets == pytest.approx((-6.5, 0, 6.5))


PLACES = st.lists(st.tuples(st.floats(-12, 12), st.floats(0.05, 6)), min_size=1, max_size=6)
CUTS = st.lists(st.tuples(st.floats(-12, 12), st.floats(0.05, 6), st.sampled_from([0.0, 0.5, 1.0, 2.5])), max_size=8)


@given(PLACES, CUTS)
def test_what_is_kept_of_places_is_what_the_whole_end_gives(
    wide: list[tuple[float, float]], cuts: list[tuple[float, float, float]]
) -> None:
    """Places and cuts anywhere, beside the stick too; against a look at every stretch after each cut."""
    places = [(low, low + width) for low, width in wide]
    worn, end = WornEnd(EndFace.flat(20.0), places), EndFace.flat(20.0)
    for low, width, depth in cuts:
        worn.cut(low, low + width, depth)
        end = end.cut(low, low + width, depth)
        assert worn.end == end
        for place in places:
            beneath = [d for a, b, d in end.stretches if min(b, place[1]) - max(a, place[0]) > SLIVER]
            assert worn.met(place) == (min(beneath) if beneath else None)
        assert worn.longest == min((d for d in map(worn.met, places) if d is not None), default=0.0)
