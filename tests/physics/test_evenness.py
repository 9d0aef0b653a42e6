"""How evenly a rim is met, and what end a stick has between two lanes, against a raster of both.

The raster is a column of numbers for every 0.005 mm of the stick's end and of the wheel's width. Lanes, their order
and what each bite takes are worked out in it anew, from widths, overlap and depths alone (geometry).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

import example_files
from changed import changed
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

MACHINE = example_files.tables(example_files.MACHINE, {})
RECIPE = example_files.tables(example_files.RECIPE, {})

STEP = 0.005
"""mm of one column."""
BLUR = 6
"""Columns: what is narrower is the raster's own edge, or a sliver that breaks off."""

Offsets = Sequence[float]


def dress_of(machine: dict[str, Any], recipe: dict[str, Any]) -> Dress:
    return Dress(Recipe.model_validate(recipe), Machine.model_validate(machine))


class Raster:
    """A stick of ``width`` mm, new and square, and the rims that run into its end."""

    def __init__(self, width: float) -> None:
        count = round(width / STEP)
        self.across = (np.arange(count) + 0.5) * STEP - count * STEP / 2
        self.height = np.zeros(count)
        self.met: dict[float, np.ndarray[Any, Any]] = {}

    def bite(self, wheel: float, middle: float, depth: float, name: float = 0.0) -> None:
        """A rim ``wheel`` mm wide, its middle at ``middle``, goes ``depth`` further in than where it first meets."""
        columns = (np.arange(round(wheel / STEP)) + 0.5) * STEP - wheel / 2
        counts = self.met.setdefault(name, np.zeros(len(columns), dtype=int))
        under = np.abs(self.across - middle) < wheel / 2
        if not under.any():
            return
        reached = _without_slivers(self.height, under).max() - depth
        at = np.round((columns + middle - self.across[0]) / STEP).astype(int)
        there = (at >= 0) & (at < len(self.across))
        counts[there] += self.height[at[there]] > reached + 1e-9
        self.height[under] = np.minimum(self.height[under], reached)

    def least_and_most(self, name: float = 0.0) -> tuple[int, int]:
        """How often the columns of a rim met something that stood, at the least and at the most."""
        counts = [value for value, length in _stretches(self.met[name]) if length > BLUR]
        return int(min(counts)), int(max(counts))


def _stretches(values: np.ndarray[Any, Any]) -> list[tuple[float, int]]:
    edges = [0, *(np.flatnonzero(np.diff(values)) + 1), len(values)]
    return [(values[a], b - a) for a, b in pairwise(edges)]


def _without_slivers(height: np.ndarray[Any, Any], under: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """The heights ``under`` a rim, in stretches that are wider than a sliver."""
    found = [np.full(1, value) for value, length in _stretches(np.round(height[under], 6)) if length > BLUR]
    return np.concatenate(found) if found else height[under]


def offsets_of(narrow: float, wide: float, overlap: float) -> list[float]:
    """Places a fewest equal steps apart so that neighbours share ``overlap`` at least, the outer ones flush."""
    count = next(n for n in range(2, 400) if (wide - narrow) / (n - 1) <= narrow - overlap + 1e-9)
    return list(np.linspace(-(wide - narrow) / 2, (wide - narrow) / 2, count))


def tables(wheel: float, stick: float, **dress: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    machine = changed(MACHINE, {"registers.next_lane": 505})
    section = [f"{stick:.2f} mm", "20 mm"]
    keys = {f"dress.{key}": value for key, value in dress.items()}
    return machine, changed(RECIPE, {"wheel.width": f"{wheel:.2f} mm", "stick.section": section, **keys})


hundredths = st.integers(200, 2500).map(lambda count: count / 100)


@settings(deadline=None, max_examples=60)
@given(hundredths, hundredths, st.sampled_from((0.0, 0.3, 1.0)), st.integers(1, 3))
def test_all_lanes_and_stations_in_one_dress(wheel: float, stick: float, overlap: float, plunges: int) -> None:
    assume(abs(wheel - stick) > 0.1 and max(wheel, stick) / min(wheel, stick) < 12)
    raster = Raster(stick)
    places = offsets_of(min(wheel, stick), max(wheel, stick), overlap)
    assume(_clear(places, min(wheel, stick)))
    for _ in range(plunges):
        for middle in places:
            raster.bite(wheel, middle, 0.5)
    dress = dress_of(*tables(wheel, stick, overlap=f"{overlap} mm", plunge="0.5 mm", plunges=plunges))
    (told,) = dress.evenness
    assert (told.least, told.most, told.dresses) == (*raster.least_and_most(), 1)


@settings(deadline=None, max_examples=60)
@given(st.integers(200, 800), st.integers(2, 8), st.sampled_from((0.0, 0.3, 1.0)), st.integers(1, 3), st.data())
def test_one_lane_in_each_dress(hundredths: int, wide: int, overlap: float, plunges: int, data: st.DataObject) -> None:
    wheel = hundredths / 100
    stick = data.draw(
        st.one_of(st.just(wheel * wide), st.integers(hundredths + 40, 8 * hundredths).map(lambda n: n / 100))
    )
    places = offsets_of(wheel, stick, overlap)
    assume(_clear(places, wheel))
    dress = dress_of(*tables(wheel, stick, overlap=f"{overlap} mm", plunge="0.5 mm", plunges=plunges, lanes="next"))
    overlapping = places[1] - places[0] < wheel - 0.05
    order = [*range(len(places)), *reversed(range(len(places)))] if overlapping else [*range(len(places))]
    assert list(dress.turns) == order
    raster = Raster(stick)
    for turn, lane in enumerate(order):
        longest = _without_slivers(raster.height, raster.across < stick).max()
        told = dress.end_face(100.0, turn)
        for low, high, depth in told.stretches:
            inside = (raster.across > low + BLUR * STEP) & (raster.across < high - BLUR * STEP)
            assert np.allclose(longest - raster.height[inside], depth, atol=1e-6)
        for _ in range(plunges):
            raster.bite(wheel, places[lane], 0.5)
    (told_of_rim,) = dress.evenness
    assert (told_of_rim.least, told_of_rim.most, told_of_rim.dresses) == (*raster.least_and_most(), len(order))
    assert np.ptp([value for value, length in _stretches(np.round(raster.height, 6)) if length > BLUR]) < 1e-9


def _clear(places: Offsets, narrow: float) -> bool:
    """Whether what neighbours share, nearer and farther ones, is nothing, or so wide that the raster can tell."""
    pitch = places[1] - places[0]
    return all(abs(narrow - pitch * count) < 1e-6 or abs(narrow - pitch * count) > 0.1 for count in range(1, 6))


@settings(deadline=None, max_examples=40, suppress_health_check=[HealthCheck.filter_too_much])
@given(st.lists(st.integers(200, 1350), min_size=2, max_size=3), st.sampled_from((0.3, 1.0)), st.integers(1, 2))
def test_packs(widths: list[int], overlap: float, plunges: int) -> None:
    """Every wheel visits all of its lanes; each meets the end that the one before it left."""
    stick = 14.0
    wheels = [
        changed(RECIPE["wheel"], name=f"Wheel {number}", width=f"{width / 100} mm", lateral=f"{60 * number} mm")
        for number, width in enumerate(widths)
    ]
    machine = changed(MACHINE, {"registers.wheel_diameter": list(range(511, 511 + len(wheels)))})
    keys = {"overlap": f"{overlap} mm", "plunge": "0.5 mm", "plunges": plunges}
    recipe = changed({**RECIPE, "wheel": wheels}, {f"dress.{key}": value for key, value in keys.items()})
    recipe["stick"]["section"] = ["14 mm", "20 mm"]
    raster = Raster(stick)
    for number, width in enumerate(widths):
        wheel = width / 100
        places = offsets_of(wheel, stick, overlap)
        assume(_clear(places, wheel))
        for _ in range(plunges):
            for middle in places:
                raster.bite(wheel, middle, 0.5, number)
    dress = dress_of(machine, recipe)
    assert not dress.shoulders
    assert [(met.least, met.most) for met in dress.evenness] == [
        raster.least_and_most(number) for number in range(len(widths))
    ]


def test_a_narrow_rim_under_a_wide_stick() -> None:
    """A rim of 3 mm under a stick of 13 mm, overlap 1 mm: six lanes 2 mm apart, so that 1 mm is met once only."""
    (met,) = dress_of(*tables(3, 13)).evenness
    assert (met.least, met.most, met.dresses) == (1, 6, 1)
    (met,) = dress_of(*tables(3, 13, lanes="next")).evenness
    # six dresses up, six down: either side is met by all six of one way and once on the other
    assert (met.least, met.most, met.dresses) == (7, 12, 12)


def test_lanes_that_abut_meet_every_part_as_often() -> None:
    dress = dress_of(*tables(3, 12, overlap="0 mm", lanes="next"))
    (met,) = dress.evenness
    assert (met.least, met.most, met.dresses) == (4, 4, 4)
    assert dress.turns == (0, 1, 2, 3)


def test_a_stick_in_the_middle_of_a_wide_wheel_leaves_the_rest_alone() -> None:
    (met,) = dress_of(*tables(13, 3, lanes="one")).evenness
    assert (met.least, met.most) == (0, 1)


@pytest.mark.parametrize("lanes", ["all", "next"])
def test_a_stick_lasts_as_many_dresses_as_its_lanes_have_length_for(lanes: str) -> None:
    """150 mm less the 30 mm that stay, 4 mm a pass: 30 passes, and six dresses a pass where each takes one lane."""
    dress = dress_of(*tables(3, 13, lanes=lanes, plunge="2 mm", plunges=2))
    assert dress.dresses_per_stick == math.floor((150 - 30) / 4) * (6 if lanes == "next" else 1)
