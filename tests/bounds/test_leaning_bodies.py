"""What is accepted on an inclined plunge keeps the holder off the wheel that is dressed, as two polygons show.

The drawing: x along the spindle, y away from its axis. The holder is a rectangle about a line that leans by α, the
wheel one about the axis; how far the holder could still go along the plunge is found by moving it (shapely).
The wheel lies where the recipe has it; the steps say where the stick goes.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.affinity import translate

from changed import changed
from gen.base.errors import DressblockError
from gen.bounds.build import build
from gen.control.draft import Program
from gen.plan.evaluate import at
from gen.plan.step import Move
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE

CLEARANCE, NEAR = 4.0, 0.01
FAR = 400.0


def made(angle: float, stick: float, wheel: float, holder: float, sense: str, **more: Any) -> Program:
    """The judged program of a stick and a wheel of these widths under a holder, with travel and stick to spare."""
    covered = stick / math.cos(math.radians(angle))
    deep = min(stick, wheel * math.cos(math.radians(angle))) * math.tan(math.radians(angle)) + 2
    machine = {
        "axes.U.travel": ["-200 mm", "300 mm"],
        "dresser.inclination": f"{angle} deg" if angle else None,
        "dresser.recentre": sense if angle else None,
        "dresser.holder": [f"{holder} mm", "20 mm"],
        "dresser.min_stick": "10 mm",
    }
    recipe = {
        "wheel.width": f"{wheel} mm",
        "stick.section": [f"{stick} mm", "10 mm"],
        "stick.length": "100 mm",
        "dress.plunge": f"{deep:.2f} mm",
        "dress.lanes": "one" if covered > wheel else "all",
    }
    return build(
        Recipe.model_validate(changed(RECIPE, recipe)),
        Machine.model_validate(changed(MACHINE, {key: one for key, one in {**machine, **more}.items() if one})),
        ("bench", "opening"),
    )


class Section:
    """Wheel and bodies in the section through the spindle, with the wheel at ``size`` mm."""

    def __init__(self, program: Program, size: float, width: float) -> None:
        self.dress = program.dress
        self.angle = math.radians(float(self.dress.dresser.inclination))
        self.angle *= -1 if self.dress.dresser.recentre == "-" else 1
        new = float(self.dress.recipe.wheel.diameter[1])
        middle = float(self.dress.recipe.wheel.lateral or 0) + new / 2 * math.tan(self.angle)
        self.wheel = box(middle - width / 2, -size / 2, middle + width / 2, size / 2)

    def body(self, seat: float, lateral: float, width: float, front: float) -> Polygon:
        """From ``front`` mm before the seat to the seat, which is ``seat`` mm from the axis along the line."""
        sine, cosine = math.sin(self.angle), math.cos(self.angle)

        def point(out: float, aside: float) -> tuple[float, float]:
            return lateral + out * sine + aside * cosine, out * cosine - aside * sine

        half = width / 2
        return Polygon([point(seat - front, -half), point(seat - front, half), point(seat, half), point(seat, -half)])

    def room(self, body: Polygon) -> float:
        """How far ``body`` could still go along the plunge before it meets the wheel, mm; 0 where it has, or passes."""
        near, far = 0.0, FAR
        for _ in range(50):
            middle = (near + far) / 2
            swept = [translate(body, -k * middle / 60 * math.sin(self.angle), -k * middle / 60 * math.cos(self.angle))
                     for k in range(61)]  # fmt: skip
            near, far = (near, middle) if any(one.intersects(self.wheel) for one in swept) else (middle, far)
        return near


def accepted(program: Program) -> bool:
    return not [one for one in program.findings if one.severity == "error"]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(
    angle=st.sampled_from((0.0, 10.0, 25.0, 40.0)),
    stick=st.integers(4, 24),
    wheel=st.integers(4, 30),
    more=st.integers(0, 20),
    sense=st.sampled_from("+-"),
)
# leaning back over the wheel at its last station: a holder of 28 mm came 0, 2.2 and 0 mm near
@example(25.0, 8, 24, 20, "-")
@example(10.0, 8, 24, 20, "-")
@example(40.0, 6, 30, 20, "-")
def test_the_holder_keeps_its_clearance_from_the_wheel_that_is_dressed(
    angle: float, stick: int, wheel: int, more: int, sense: str
) -> None:
    """At the bottom of the last plunge of the shortest stick, on the new wheel and the worn one."""
    try:
        program = made(angle, float(stick), float(wheel), float(stick + more), sense)
    except DressblockError:
        assume(False)
    assume(accepted(program))
    dress = program.dress
    for size in dress.first.size_range:
        state = dress.state(size, dress.length_range[0])
        section = Section(program, float(size), float(wheel))
        steps = [step for step in at(program.plan, state) if isinstance(step, Move)]
        ends = [one for one, after in itertools.pairwise(steps) if one.rate and after.rate is None]
        assert ends
        for step in ends:
            seat = 260.0 - step.to["U"]
            room = section.room(section.body(seat, step.to["Z"], float(stick + more), 20.0))
            assert room >= CLEARANCE - NEAR, (room, size, step)


def test_no_more_stick_is_kept_than_the_leaning_holder_needs() -> None:
    """At 10 deg a holder of 28 mm on a wheel of 24 mm reaches (14 − 4) · tan 10 deg = 1.763 mm ahead of the stick."""
    assert float(made(10.0, 8.0, 24.0, 28.0, "-").dress.shortest_left) == 24 + 1.764
    # leaning the other way, it is beyond the wheel's edge when the stick is shortest
    assert float(made(10.0, 8.0, 24.0, 28.0, "+").dress.shortest_left) == 24
