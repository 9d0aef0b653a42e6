"""The stick's end against an independent model: a row of fine cells that is simply eaten away.

The model knows nothing of stretches, lanes or plans: it takes the positions
from the steps, asks which cells lie under the wheel, and cuts them.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gen.physics.end_face import EndFace
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Move, Step, Write
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel
from pack_bench import Table, drafted, dress_of, wheel

CELL = 0.01
EDGE = 0.03
"""mm beside a wheel's edge where a remnant breaks off, and the model looks for no contact."""


@dataclass
class Cells:
    """How much of the stick is left in each cell, mm from the seat."""

    width: float
    length: float
    left: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.left = self.left or [self.length] * round(self.width / CELL)

    def under(self, low: float, high: float, beside: float = 0.0) -> list[int]:
        first = -self.width / 2 + CELL / 2
        return [k for k in range(len(self.left)) if low + beside < first + k * CELL < high - beside]

    def longest(self, low: float, high: float) -> float:
        return max((self.left[k] for k in self.under(low, high, EDGE)), default=0.0)

    def eat(self, low: float, high: float, down_to: float) -> None:
        for k in self.under(low, high):
            self.left[k] = min(self.left[k], down_to)


places = st.integers(-60, 60).map(lambda number: number / 5)


@given(
    st.lists(st.tuples(places, places, st.integers(0, 40).map(lambda number: number / 4)), max_size=12), places, places
)
def test_cuts_against_the_cells(cuts: list[tuple[float, float, float]], one: float, other: float) -> None:
    end, cells = EndFace.flat(20.0), Cells(20.0, 100.0)
    for a, b, depth in cuts:
        end = end.cut(min(a, b), max(a, b), depth)
        cells.eat(min(a, b), max(a, b), 100.0 - depth)
    low, high = min(one, other), max(one, other)
    inside = cells.under(low, high, EDGE)
    highest = end.highest(low, high)
    if inside:
        assert highest == pytest.approx(100.0 - cells.longest(low, high))
    else:
        assert highest is None
    assert end.deepest == pytest.approx(100.0 - min(cells.left))
    tall = [left > 100.0 - 5.0 for left in cells.left]
    walls = sum(1 for k, here in enumerate(tall) if here and (k == 0 or not tall[k - 1]))
    assert len(end.standing(5.0)) == walls
    assert sum(end.standing(5.0)) == pytest.approx(CELL * sum(tall), abs=1e-6)


@st.composite
def packs(draw: st.DrawFn) -> tuple[Table, Table]:
    """Changes to recipe and machine: wheels far apart, any widths, lanes of every kind."""
    stick = draw(st.integers(10, 120)) / 5
    wheels = []
    for place in range(draw(st.integers(1, 4))):
        width = draw(st.integers(10, 150)) / 5
        own: Table = {"lanes": draw(st.sampled_from(("all", "all", "one")))}
        if own["lanes"] == "one":
            room = round(abs(stick - width) * 10) // 2
            own["lane"] = f"{draw(st.integers(-room, room)) / 10} mm"
        worn = draw(st.integers(60, 140))
        wheels.append(
            wheel(
                (f"{worn} mm", f"{worn + draw(st.integers(0, 10))} mm"), f"{width} mm", f"{90 * place - 130} mm", **own
            )
        )
    recipe = {
        "wheel": wheels,
        "stick.section": [f"{stick} mm", "20 mm"],
        "dress.plunge": draw(st.sampled_from(("1 mm", "2.5 mm"))),
        "dress.plunges": draw(st.integers(1, 2)),
        "dress.overlap": "0.2 mm",
    }
    signs = {"dresser.lateral_sign": draw(st.sampled_from("+-"))}
    if draw(st.booleans()):
        signs |= {"dresser.toward_wheel": "-", "dresser.datum": "-20 mm", "dresser.parked": "300 mm"}
    return recipe, signs


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(packs(), st.data())
def test_every_plunge_meets_the_stick_where_it_really_is(pack: tuple[Table, Table], data: st.DataObject) -> None:
    ours = dress_of(*pack)
    assume(not ours.shoulders)
    low, high = ours.length_range
    assume(low <= high)
    dressed_three_times(pack, [data.draw(st.sampled_from(one.size_range)) for one in ours.wheels])


def test_two_plunges_in_lanes_apart() -> None:
    """The second plunge of the first wheel goes deeper, though the longest part is still the other lane's."""
    wheels = [
        wheel(("140 mm", "150 mm"), "6 mm", "40 mm", lane="-9 mm"),
        wheel(("115 mm", "125 mm"), "4 mm", "100 mm", lane="9 mm"),
    ]
    recipe = {"wheel": wheels, "stick.section": ["40 mm", "20 mm"], "dress.lanes": "one", "dress.plunges": 2}
    dressed_three_times((recipe, {}), [Decimal(150), Decimal(115)])
    assert dress_of(recipe).stick_per_dress == 6


def dressed_three_times(pack: tuple[Table, Table], sizes: list[Decimal]) -> None:
    """Three dresses on end, each from the register that the one before wrote, each plunge as deep as planned."""
    ours, program = dress_of(*pack), drafted(*pack)
    length = float(ours.stick.length)
    cells = Cells(ours.footprint, length)
    for _ in range(min(3, ours.dresses_per_stick)):
        state = State({**ours.state(sizes=sizes).values, "stick_length": length})
        steps = at(program.plan, state)
        met = _plunged(steps, ours, [float(size) for size in sizes], cells)
        assert len(met) == len(ours.bites())
        assert met == pytest.approx([float(ours.settings.plunge)] * len(met), abs=0.003)
        written = [step.value for step in steps if isinstance(step, Write) and step.register == 502]
        assert written[-1] == pytest.approx(_longest(cells, ours), abs=0.003)
        assert written[-1] == pytest.approx(length - float(ours.stick_per_dress))
        length = written[-1]


def _plunged(steps: list[Step], ours: Dress, sizes: list[float], cells: Cells) -> list[float]:
    """The depth of every plunge into what the cells have left, cutting them."""
    dresser = ours.machine.dresser
    assert dresser.datum_position is not None
    sign, met = dresser.sign, []
    for before, step in itertools.pairwise(steps):
        if isinstance(step, Move) and isinstance(before, Move) and step.rate is not None and before.rate is not None:
            for one, size in zip(ours.wheels, sizes, strict=True):
                low, high = _under(one, step.to["Z"])
                # the wheel's surface, as a length of stick from the seat
                surface = sign * (float(dresser.datum_position) - step.to["V"]) - size / 2
                longest = cells.longest(low, high)
                if longest > surface:
                    met.append(longest - surface)
                    cells.eat(low, high, surface)
    return met


def _under(one: Wheel, lateral: float) -> tuple[float, float]:
    """Where on the stick the wheel lies, worked out here from the machine file's words."""
    sense = 1 if one.machine.dresser.lateral_sign == "+" else -1
    middle = sense * (lateral - float(one.keys.lateral or 0))
    return middle - float(one.keys.width) / 2, middle + float(one.keys.width) / 2


def _longest(cells: Cells, ours: Dress) -> float:
    """The longest part under any lane; what no wheel ever reaches stands higher."""
    reached = {k for bite in ours.bites() for k in cells.under(bite.low, bite.high, EDGE)}
    return max(cells.left[k] for k in reached)


def test_the_end_stays_flat_after_all_lanes_of_every_wheel() -> None:
    ours = dress_of()
    end = EndFace.flat(16.0)
    for _ in range(3):
        for bite in ours.bites():
            end = end.cut(bite.low, bite.high, (end.highest(bite.low, bite.high) or 0.0) + bite.depth)
    # one plunge a pass over the lanes of the two narrow wheels, two over the stations of the wide one: 3 · (3 + 3 + 6)
    assert end.depths(-8, 8) == (36.0,)
    assert ours.stick_per_dress == 12
    assert ours.walls == ()


def test_walls_that_no_wheel_cuts_stand_as_when_new() -> None:
    one_lane = {"stick.section": ["40 mm", "20 mm"], "dress.lanes": "one", "wheel.1.lane": "12 mm", "wheel.2": None}
    ours = dress_of(one_lane)
    # 10 mm in the middle, 6 mm from 9 to 15: 15, 4 and 5 mm are left standing
    assert ours.walls == pytest.approx((15, 4, 5))
    end = ours.end_face(130.0)
    assert end.highest(-5, 5) == 0
    assert end.highest(-20, 20) == -20
    assert ours.stick_per_dress == 3
