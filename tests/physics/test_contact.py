"""Where stick and wheel first touch, against polygons that are pushed together until they overlap.

The polygons know nothing of the formulas: a stick is a rectangle that moves
along the plunge, a wheel the section of its rim, deep enough to hold the stick,
and the moments are found by halving.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from gen.physics.contact import Geometry, lateral_drift, reach
from gen.plan.expression import Var, evaluate

NEAR = 1e-6
"""mm; the overlap of polygons is found to a tenth of it."""


@dataclass(frozen=True)
class Scene:
    """The section through the wheel's axis: the working surface lies along x, the stick comes from above."""

    diameter: float
    length: float
    wheel_width: float
    stick_width: float
    inclination: float = 0.0
    taper: float = 0.0
    offset: float = 0.0

    @property
    def profile(self) -> LineString:
        """The working surface; a tapered one falls away from its largest diameter at the left."""
        half = self.wheel_width / 2
        fall = self.wheel_width * math.tan(math.radians(self.taper))
        return LineString([(self.offset - half, 0), (self.offset + half, -fall)])

    @property
    def wheel(self) -> Polygon:
        (left, top), (right, low) = self.profile.coords
        return Polygon([(left, -1000), (left, top), (right, low), (right, -1000)])

    def stick(self, travelled: float) -> Polygon:
        """The stick when its seat is ``travelled`` mm past the spindle's centre line (less than 0: short of it).

        A holder of the same section goes on behind the seat, so that the stick is never all the way in.
        """
        alpha = math.radians(self.inclination)
        ahead, across = (math.sin(alpha), -math.cos(alpha)), (math.cos(alpha), math.sin(alpha))
        at_centre = self.diameter / 2 / math.cos(alpha)

        def corner(along: float, side: float) -> tuple[float, float]:
            return along * ahead[0] + side * across[0], along * ahead[1] + side * across[1]

        seat, half = at_centre + travelled, self.stick_width / 2
        end = seat + self.length
        held = seat - 1000
        return Polygon([corner(held, -half), corner(held, half), corner(end, half), corner(end, -half)])

    @property
    def begun(self) -> float:
        """Travel at which the middle of the stick's end has surely met the wheel."""
        to_surface = self.diameter / 2 / math.cos(math.radians(self.inclination))
        return -to_surface - self.length + self.wheel_width * math.tan(math.radians(self.taper)) + 1e-3

    def first_touch(self) -> float:
        """How far the seat is from the centre line, along the plunge, when stick and wheel first touch."""
        far = self.begun - 2 * (self.stick_width + self.wheel_width) - 10
        return -moment(far, self.begun, lambda travelled: self.stick(travelled).intersects(self.wheel))

    def full_width(self) -> float:
        """The same, when the stick first covers as much of the working surface as it ever will."""
        slant = math.radians(max(self.inclination, self.taper))
        full = min(self.profile.length, self.stick_width / math.cos(slant))
        deep = self.begun + (self.stick_width + self.wheel_width) * math.tan(math.radians(self.inclination))
        return -moment(
            -self.first_touch() - 1e-3,
            deep,
            lambda travelled: self.stick(travelled).intersection(self.profile).length > full - 1e-8,
        )


def moment(before: float, after: float, happened: Callable[[float], bool]) -> float:
    assert happened(after)
    assert not happened(before)
    for _ in range(60):
        middle = (before + after) / 2
        before, after = (before, middle) if happened(middle) else (middle, after)
    return after


def geometry(scene: Scene) -> Geometry:
    return Geometry(
        face=False,
        wheel_width=scene.wheel_width,
        stick_width=scene.stick_width,
        stick_height=10,
        angle_deg=scene.taper or scene.inclination,
        tapered=scene.taper > 0,
    )


diameters, lengths, widths = st.floats(60, 400), st.floats(40, 250), st.floats(2, 30)
inclined = st.builds(Scene, diameters, lengths, widths, widths, inclination=st.floats(0, 60))
tapered = st.builds(Scene, diameters, lengths, widths, widths, taper=st.floats(0.5, 30))


def standing(scene: Scene) -> None:
    """Leaves out what is no wheel on a plate-like stick: the slant must fit into the wheel and along the stick."""
    angle = math.radians(max(scene.inclination, scene.taper))
    assume((scene.stick_width + scene.wheel_width) * math.tan(angle) < min(scene.diameter / 2, scene.length) * 0.9)


@given(inclined)
def test_an_inclined_plunge_first_touches_where_two_polygons_do(scene: Scene) -> None:
    standing(scene)
    assert reach(geometry(scene), scene.length, scene.diameter) == pytest.approx(scene.first_touch(), abs=NEAR)


@given(inclined)
def test_the_whole_width_cuts_after_the_bedding_in(scene: Scene) -> None:
    standing(scene)
    depth = scene.first_touch() - scene.full_width()
    assert geometry(scene).bedding == pytest.approx(depth, abs=NEAR)


@given(tapered)
def test_a_tapered_face_is_met_at_its_largest_diameter(scene: Scene) -> None:
    standing(scene)
    assume(scene.stick_width >= scene.wheel_width)
    assert reach(geometry(scene), scene.length, scene.diameter) == pytest.approx(scene.first_touch(), abs=NEAR)
    assert geometry(scene).bedding == pytest.approx(scene.first_touch() - scene.full_width(), abs=NEAR)


@given(inclined, st.floats(-1, 1))
def test_stations_across_a_wider_wheel_are_met_alike(scene: Scene, share: float) -> None:
    standing(scene)
    spare = scene.wheel_width - geometry(scene).footprint
    assume(spare > 0.01)
    moved = replace(scene, offset=share * spare / 2)
    assert reach(geometry(scene), scene.length, scene.diameter) == pytest.approx(moved.first_touch(), abs=NEAR)


@given(inclined, st.floats(0, 0.5))
def test_an_inclined_plunge_meets_a_worn_wheel_aside_of_where_it_met_the_new_one(scene: Scene, share: float) -> None:
    """Both wheels on one spindle: the line that the stick's middle travels on, cut with either surface."""
    alpha = math.radians(scene.inclination)
    worn = scene.diameter * (1 - share)
    line = LineString([(0, 0), (1000 * math.sin(alpha), 1000 * math.cos(alpha))])
    met = [line.intersection(LineString([(-2000, d / 2), (2000, d / 2)])) for d in (scene.diameter, worn)]
    assert lateral_drift(geometry(scene), scene.diameter, worn) == pytest.approx(met[0].x - met[1].x, abs=NEAR)


def test_the_design_s_own_terms() -> None:
    # geometry: contact earlier by D/2 (1/cos α − 1) + (w/2) tan α; bedding b tan α. At 60°: 125/2 + 6 √3, 12 √3
    leaning = Geometry(face=False, wheel_width=30, stick_width=12, stick_height=20, angle_deg=60)
    assert reach(leaning, 100.0, 125.0) - (100 + 62.5) == pytest.approx(62.5 + 6 * math.sqrt(3))
    assert leaning.bedding == pytest.approx(12 * math.sqrt(3))
    assert leaning.footprint == pytest.approx(24)


def test_a_face_is_met_at_its_gauge() -> None:
    # geometry: the gauge plane to the face, and the stick on it
    cup = Geometry(face=True, wheel_width=8, stick_width=8, stick_height=10)
    assert reach(cup, 150.0, 46.0) == 196


@pytest.mark.parametrize("mm_per_unit", [1.0, 25.4])
@given(scene=inclined)
def test_an_expression_gives_the_numbers_that_floats_give(mm_per_unit: float, scene: Scene) -> None:
    state = {"L": scene.length / mm_per_unit, "D": scene.diameter / mm_per_unit}
    spelled = reach(geometry(scene), Var("L"), Var("D"), mm_per_unit=mm_per_unit)
    worked_out = reach(geometry(scene), state["L"], state["D"], mm_per_unit=mm_per_unit)
    assert evaluate(spelled, state) == pytest.approx(worked_out, abs=1e-8)
    assert worked_out * mm_per_unit == pytest.approx(reach(geometry(scene), scene.length, scene.diameter), abs=1e-9)
