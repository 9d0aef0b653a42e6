"""Tapered wheels in a pack, each in a lane of its own, against a row of cells that a slanted surface eats away.

The cells know the wheel's slope, in either direction, and nothing of the map: what a lane is at the wheel's large end
is all that the plan and the bounds work with.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gen.base.errors import DressblockError
from gen.control.options import Options
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Move, Step, Write
from gen.shop.agreement import cross_check
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel
from pack_bench import Table, drafted, dress_of, judged, rules, tables, wheel

CELL, EDGE = 0.01, 0.03
BIG, SMALL = ("140 mm", "150 mm"), ("115 mm", "125 mm")


def two(lane: str = "9 mm", taper: str = "15 deg", **more: object) -> Table:
    wheels = [wheel(BIG, "6 mm", "40 mm", lane="-9 mm"), wheel(SMALL, "4 mm", "100 mm", lane=lane, taper=taper)]
    return {"wheel": wheels, "stick.section": ["40 mm", "20 mm"], "stick.length": "50 mm", "dress.lanes": "one", **more}


@pytest.mark.parametrize(
    "machine",
    [{}, {"control": "hash-variables"}, {"control": "r-variables"}, {"control": "iso6983", "registers": None}],
    ids=lambda machine: machine.get("control", "rs274ngc"),
)
def test_a_cylinder_and_a_taper_in_lanes_apart_hold_on_every_control(machine: Table) -> None:
    assert rules(judged(two(), machine)) == set()


def test_every_taper_has_to_bed_in() -> None:
    # 4 mm · tan 30° = 2.31 mm, and at 20° 1.46
    assert "plunge-depth" in rules(judged(two(taper="30 deg") | {"dress.plunge": "2 mm"}))
    assert "plunge-depth" not in rules(judged(two(taper="20 deg") | {"dress.plunge": "2 mm"}))


def test_the_small_end_of_every_taper_is_held_to_the_band() -> None:
    # the small end is 2 · 4 · tan 15° = 2.14 mm less than 115 mm, so that the number there is 1.9 % higher: 254.7
    assert "aggressiveness" in rules(judged(two() | {"wheel.1.band": [248, 252]}))
    assert "aggressiveness" not in rules(judged(two() | {"wheel.1.band": [245, 255]}))


@dataclass
class Cells:
    """How much of the stick is left in each cell, mm from the seat."""

    width: float
    length: float
    left: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.left = [self.length] * round(self.width / CELL)

    def middles(self, low: float, high: float, beside: float = 0.0) -> list[tuple[int, float]]:
        first = -self.width / 2 + CELL / 2
        every = ((k, first + k * CELL) for k in range(len(self.left)))
        return [(k, x) for k, x in every if low + beside < x < high - beside]


def slope(one: Wheel, x: float, low: float, high: float, side: int) -> float:
    """How much lower than at its large end the surface of ``one`` is at ``x``."""
    return (x - low if side > 0 else high - x) * math.tan(math.radians(float(one.keys.taper)))


def under(one: Wheel, lateral: float) -> tuple[float, float]:
    sense = 1 if one.machine.dresser.lateral_sign == "+" else -1
    middle = sense * (lateral - float(one.keys.lateral or 0))
    return middle - float(one.keys.width) / 2, middle + float(one.keys.width) / 2


def plunged(steps: list[Step], ours: Dress, sizes: list[float], cells: Cells, side: int) -> list[float]:
    dresser, met = ours.machine.dresser, []
    assert dresser.datum_position is not None
    for before, step in itertools.pairwise(steps):
        if isinstance(step, Move) and isinstance(before, Move) and step.rate is not None and before.rate is not None:
            for one, size in zip(ours.wheels, sizes, strict=True):
                low, high = under(one, step.to["Z"])
                seat = dresser.sign * (float(dresser.datum_position) - step.to["V"]) - size / 2
                surfaces = {k: seat + slope(one, x, low, high, side) for k, x in cells.middles(low, high)}
                inside = [k for k, _ in cells.middles(low, high, EDGE)]
                deepest = max((cells.left[k] - surfaces[k] for k in inside), default=0.0)
                if deepest > 0:
                    met.append(deepest)
                    for k, surface in surfaces.items():
                        cells.left[k] = min(cells.left[k], surface)
    return met


@st.composite
def packs(draw: st.DrawFn) -> tuple[Table, Table]:
    """Wheels far apart, every one in a lane of its own, 3 mm of wall between, tapered or not."""
    wheels, edge = [], 0.0
    for place in range(draw(st.integers(2, 4))):
        width = draw(st.integers(10, 40)) / 5
        worn = draw(st.integers(60, 140))
        taper = draw(st.sampled_from((0, 0, 5, 12, 20)))
        own = {"lane": edge + 3 + width / 2, "taper": f"{taper} deg"}
        edge += 3 + width
        wheels.append(wheel((f"{worn} mm", f"{worn + 6} mm"), f"{width} mm", f"{120 * place - 180} mm", **own))
    stick = edge + 3
    for one in wheels:
        one["lane"] = f"{round(one['lane'] - stick / 2, 3)} mm"
    recipe = {
        "wheel": draw(st.permutations(wheels)),
        "stick.section": [f"{round(stick, 3)} mm", "20 mm"],
        "dress.plunge": "3.5 mm",
        "dress.plunges": draw(st.integers(1, 2)),
        "dress.lanes": "one",
    }
    return recipe, {"dresser.lateral_sign": draw(st.sampled_from("+-"))}


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(packs(), st.data(), st.sampled_from((1, -1)))
def test_every_plunge_meets_the_slanted_lane_where_it_really_is(
    pack: tuple[Table, Table], data: st.DataObject, side: int
) -> None:
    ours, program = dress_of(*pack), drafted(*pack)
    assume(not ours.shoulders)
    sizes = [data.draw(st.sampled_from(one.size_range)) for one in ours.wheels]
    length = float(ours.stick.length)
    cells = Cells(ours.footprint, length)
    for _ in range(3):
        state = State({**ours.state(sizes=sizes).values, "stick_length": length})
        steps = at(program.plan, state)
        met = plunged(steps, ours, [float(size) for size in sizes], cells, side)
        # cells are 0.01 mm wide, so that the outermost is 0.035 mm from the edge: 0.013 mm lower at 20°
        assert met == pytest.approx([3.5] * len(ours.bites()), abs=0.03)
        written = [step.value for step in steps if isinstance(step, Write) and step.register == 502]
        length = written[-1]
        for one in ours.wheels:
            low, high = under(one, float(one.place(0, float(sizes[one.index])) or 0))
            stands = [cells.left[k] - slope(one, x, low, high, side) for k, x in cells.middles(low, high, EDGE)]
            assert max(stands) == pytest.approx(length, abs=0.03)


def three(new: str) -> Table:
    """While wheel 1 is dressed, the third wheel stands below the slanted lane of the second, and nothing else."""
    wheels = [
        wheel(BIG, "10 mm", "100 mm", lane="-21 mm"),
        wheel(SMALL, "10 mm", "300 mm", lane="10 mm", taper="15 deg"),
        wheel(("90 mm", new), "6 mm", "70 mm", lane="-8 mm"),
    ]
    return {"wheel": wheels, "stick.section": ["60 mm", "20 mm"], "stick.length": "47 mm", "dress.lanes": "one"}


def test_a_neighbour_below_a_slanted_lane_is_held_off_its_high_side() -> None:
    # at the bottom of the plunge into a wheel of 140 mm the lane is 140/2 − 3 from the axis at its deep side and
    # 10 · tan 15° = 2.68 mm nearer at the other; 4 mm are left to a wheel of 120.6 mm, from the deep side to one of 126
    clear = {"dresser.side_clearance": "0 mm"}
    assert "neighbour" not in rules(judged(three("120.6 mm"), clear))
    assert "neighbour" in rules(judged(three("120.8 mm"), clear))


def test_a_gap_check_of_a_taper_in_a_pack() -> None:
    program = drafted(two(), options=Options(purpose="gap-check"))
    steps = at(program.plan, program.dress.state(sizes=[Decimal(140), Decimal(120)]))
    stops = [step.to["V"] for step in steps if isinstance(step, Move) and step.rate is not None]
    # 330 − (50 + D/2) − 1
    assert stops == [209, 219]


@pytest.mark.parametrize("lane", ["-9 mm", "-6 mm"])
def test_a_lane_that_another_wheel_uses_is_refused_with_why(lane: str) -> None:
    with pytest.raises(DressblockError, match="and wheel 1 would meet the slant"):
        cross_check(*tables(two(lane)))
