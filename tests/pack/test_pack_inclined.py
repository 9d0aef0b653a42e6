"""Packs under an inclined stick, against polygons of stick, holder and wheels in a section through the spindle.

The drawing places the wheels once, where each one's lateral puts the stick on the middle of its new surface, and the
stick where the steps say; what touches what, and how near, is shapely's affair.
"""

from __future__ import annotations

import itertools
import math
from decimal import Decimal
from typing import Any

import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gen.base.errors import DressblockError
from gen.bounds.build import build
from gen.control.draft import Program
from gen.control.options import Options
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Move, Stop
from gen.shop.agreement import cross_check
from pack_bench import Table, drafted, judged, rules, tables, wheel

ANGLE = 20.0
CONTROLS: list[Table] = [
    {},
    {"control": "hash-variables", "dresser.machine_frame_feeds": True},
    {"control": "r-variables"},
    {"control": "iso6983", "registers": None},
]


def leaning(sense: str = "+", angle: float = ANGLE, **more: object) -> Table:
    return {"dresser.inclination": f"{angle} deg", "dresser.recentre": sense, **more}


def two(second: float = 150.0, new: float = 125.0, **more: object) -> Table:
    wheels = [
        wheel(("140 mm", "150 mm"), "20 mm", "40 mm"),
        wheel((f"{new - 10} mm", f"{new} mm"), "16 mm", f"{second} mm"),
    ]
    return {"wheel": wheels, "stick.section": ["10 mm", "20 mm"], "dress.plunge": "5 mm", **more}


class Drawn:
    """The section: x along the spindle in the sense of the lateral axis, y away from it."""

    def __init__(self, program: Program, sizes: list[float], length: float) -> None:
        dress = program.dress
        self.dress, self.length, self.sizes = dress, length, sizes
        self.lean = {"+": 1, "-": -1}[str(dress.dresser.recentre)]
        self.angle = math.radians(float(dress.dresser.inclination))

    def line(self, lateral: float, out: float, aside: float = 0.0) -> tuple[float, float]:
        """The point ``out`` mm along the stick's line from the spindle's axis, ``aside`` mm square to it."""
        sine, cosine = self.lean * math.sin(self.angle), math.cos(self.angle)
        return lateral + out * sine + aside * cosine, out * cosine - aside * sine

    def wheel(self, number: int, *, new: bool = False) -> shapely.Polygon:
        one = self.dress.wheels[number]
        diameter = float(one.keys.diameter[1])
        # a stick with the lateral axis there is in the middle of the new wheel's surface
        middle = self.line(float(one.keys.lateral or 0), diameter / 2 / math.cos(self.angle))[0]
        half, radius = float(one.keys.width) / 2, (diameter if new else self.sizes[number]) / 2
        return shapely.box(middle - half, -radius, middle + half, radius)

    def body(self, step: Move, width: float, front: float) -> shapely.Polygon:
        """What is ``width`` wide and begins ``front`` mm from the seat, toward the wheels."""
        dresser: Any = self.dress.dresser
        seat = dresser.sign * (float(dresser.datum) - step.to["V"])
        ends = [(seat - front, -width / 2), (seat - front, width / 2), (seat, width / 2), (seat, -width / 2)]
        return shapely.Polygon([self.line(step.to["Z"], out, aside) for out, aside in ends])

    def stick(self, step: Move) -> shapely.Polygon:
        return self.body(step, float(self.dress.stick.section[0]), self.length)


def at_stops(program: Program, state: State) -> list[Move]:
    steps = at(program.plan, state)
    moves = [step for step in steps if isinstance(step, Move | Stop)]
    pairs = itertools.pairwise(moves)
    return [one for one, after in pairs if isinstance(one, Move) and isinstance(after, Stop) and one.rate is not None]


@pytest.mark.parametrize("machine", CONTROLS, ids=lambda machine: machine.get("control", "rs274ngc"))
def test_an_inclined_pack_holds_on_every_control(machine: Table) -> None:
    for sense in "+-":
        assert rules(judged(two(), leaning(sense, **machine))) == set()


@pytest.mark.parametrize("sense", ["+", "-"])
@pytest.mark.parametrize("sizes", [(150, 125), (140, 115), (150, 115), (140, 125)])
def test_each_wheel_is_met_where_it_is_drawn(sense: str, sizes: tuple[int, int]) -> None:
    """A gap check stops 1 mm before each wheel, and no other is nearer: contact and lateral place are right at once.

    At its outermost station a stick that leans inward has its nearest corner 1 mm · tan 20° beyond the wheel's edge.
    """
    program = drafted(two(), leaning(sense), Options(purpose="gap-check"))
    drawn = Drawn(program, [float(size) for size in sizes], 100.0)
    stops = at_stops(program, program.dress.state(sizes=[Decimal(size) for size in sizes], length=Decimal(100)))
    assert len(stops) == 2
    for number, stop in enumerate(stops):
        gaps = [drawn.stick(stop).distance(drawn.wheel(one)) for one in range(2)]
        beyond = 0.0 if sense == "+" else math.tan(math.radians(ANGLE))
        assert min(gaps) == gaps[number] == pytest.approx(math.hypot(1.0, beyond), abs=0.004)


@pytest.mark.parametrize("sense", ["+", "-"])
def test_the_stations_of_a_worn_wheel_lie_across_its_width(sense: str) -> None:
    """A stick of 10 / cos 20° = 10.64 mm on 20 and 16 mm goes to both edges of each wheel, new or worn."""
    program = drafted(two(), leaning(sense))
    for sizes in ((150, 125), (140, 115)):
        steps = at(program.plan, program.dress.state(sizes=[Decimal(size) for size in sizes]))
        drawn = Drawn(program, [float(size) for size in sizes], 150.0)
        ends = [one for one, after in itertools.pairwise(steps)
                if isinstance(one, Move) and isinstance(after, Move) and one.rate and after.rate is None]  # fmt: skip
        for number, met in ((0, ends[:2]), (1, ends[2:])):
            surface = sizes[number] / 2
            cover = [drawn.line(step.to["Z"], surface / math.cos(drawn.angle))[0] for step in met]
            half = 10 / math.cos(drawn.angle) / 2
            low, _, high, _ = drawn.wheel(number).bounds
            assert min(cover) - half == pytest.approx(low, abs=0.01)
            assert max(cover) + half == pytest.approx(high, abs=0.01)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(
    st.sampled_from("+-"),
    st.sampled_from((10.0, 20.0, 35.0)),
    st.integers(20, 60),
    st.integers(90, 190),
    st.booleans(),
)
def test_neighbours_against_the_drawing(sense: str, angle: float, place: int, new: int, left: bool) -> None:
    """The rule speaks up where stick or holder, at the end of a plunge, come too near to the other wheel as drawn."""
    recipe = two(40.0 - place if left else 40.0 + place, float(new), **{"dress.plunge": "8 mm"})
    machine = leaning(sense, angle, **{"dresser.min_stick": "50 mm", "dresser.datum": "360 mm",
                                       "axes.V.travel": ["0 mm", "420 mm"]})  # fmt: skip
    try:
        cross_check(*tables(recipe, machine))
    except DressblockError:
        assume(False)
    program = build(*tables(recipe, machine), ("bench", "pack"))
    assume("approach-path" not in rules(program.findings))
    worst = math.inf
    for state in program.dress.corners():
        sizes = [state.values["wheel_diameter_1"], state.values["wheel_diameter_2"]]
        length = state.values["stick_length"]
        steps = at(program.plan, state)
        drawn = Drawn(program, sizes, length)
        ends = [one for one, after in itertools.pairwise(steps)
                if isinstance(one, Move) and isinstance(after, Move) and one.rate and after.rate is None]  # fmt: skip
        for count, step in enumerate(ends):
            own = 0 if count < len(program.dress.wheels[0].lanes.offsets) else 1
            # what lies within the wheel in hand is cut away
            surface = sizes[own] / 2
            above = shapely.box(-1e4, surface, 1e4, 1e4)
            other = drawn.wheel(1 - own, new=True)
            low, _, high, radius = other.bounds
            band = shapely.box(low - 1, 0, high + 1, 1e4)
            for body in (drawn.body(step, 10.0, length + 30).intersection(above), drawn.body(step, 20.0, 30.0)):
                over = body.intersection(band)
                if not over.is_empty:
                    worst = min(worst, over.bounds[1] - radius)
    # the holder's front is taken as far in as its nearest corner is: up to 20 mm · sin α too much
    too_much = 20 * math.sin(math.radians(angle)) + 0.01
    found = "neighbour" in rules(program.findings)
    if worst < 4 - 0.01:
        assert found
    elif worst > 4 + too_much:
        assert not found


def test_a_larger_wheel_stands_in_the_way_on_the_side_to_which_the_stick_leans() -> None:
    """Of 150 and 200 mm, 27.5 mm apart: at 35° the stick leans over 100 mm radius 17.5 mm aside."""
    machine = {"dresser.datum": "400 mm", "axes.V.travel": ["0 mm", "420 mm"]}
    large = two(50.0, 200.0)
    assert "neighbour" in rules(judged(large, leaning("+", 35.0, **machine)))
    assert "neighbour" not in rules(judged(two(85.0, 200.0), leaning("-", 35.0, **machine)))


@pytest.mark.parametrize(
    ("recipe", "machine", "sentence"),
    [
        (two(), leaning() | {"dresser.recentre": None}, "does not say which way the inclined stick leans over"),
        (two() | {"stick.section": ["17 mm", "20 mm"]}, leaning(), "wheel[1].width: inclined, the stick covers 18.091"),
        # 22 mm apart on the lateral axis; the smaller wheel is met 4.55 mm sooner on the way aside
        (two(62.0), leaning("+"), "wheel[1].lateral: this wheel would overlap wheel 1"),
    ],
)  # fmt: skip
def test_what_stays_refused_says_why(recipe: Table, machine: Table, sentence: str) -> None:
    with pytest.raises(DressblockError) as caught:
        cross_check(*tables(recipe, machine))
    assert sentence in str(caught.value)
