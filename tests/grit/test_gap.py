"""The gap between the diamonds: published counts, a trial with random spheres, and which grits get in."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from gen.base.errors import DressblockError
from gen.physics.gap import DENSEST, TWICE_AS_WIDE, finest, grains_per_area, grains_per_volume, nominal_gap, sticks_for
from gen.physics.grains import DIAMONDS, STICKS, diamond, known_stick

CARATS_PER_CM3 = 4.4
"""Of a layer of concentration 100 (trade convention; diamond of 3.52 g/cm³, a carat is 0.2 g)."""


@pytest.mark.parametrize(
    ("mesh", "d_um", "published"),
    [
        # "Wheel Concentration", Modern Grinding Technology (as the design page quotes it): a sphere of the coarser
        # sieve opening. d is the opening of that number in the US sieve series of the time (from memory; the
        # design page states 120 mesh = 125 µm).
        (46, 350, 2_530),
        (60, 250, 6_950),
        (80, 177, 19_600),
        (100, 149, 32_800),
        (120, 125, 55_600),
        (200, 74, 268_000),
        (325, 44, 1_270_000),
    ],
)
def test_grains_per_carat_are_those_published(mesh: int, d_um: float, published: int) -> None:
    a_carat = grains_per_volume(d_um / 10_000, 100) / CARATS_PER_CM3
    assert a_carat == pytest.approx(published, rel=0.005), f"{mesh} mesh, d = {d_um} µm"


def test_a_carat_is_a_carat_at_every_concentration() -> None:
    for concentration in (25, 50, 75, 150):
        per_carat = grains_per_volume(0.0125, concentration) / (CARATS_PER_CM3 * concentration / 100)
        assert per_carat == pytest.approx(55_600, rel=0.005)


@pytest.mark.parametrize(("concentration", "about"), [(100, 52), (75, 77.5)])
def test_the_gap_of_d126(concentration: float, about: float) -> None:
    # worked by hand: 115.5 (sqrt(pi / (6 · 0.25)) - 1) = 115.5 · 0.4472; at 75, 115.5 · 0.6711
    assert nominal_gap(115.5, concentration) == pytest.approx(about, abs=0.5)


def test_the_gap_is_that_of_a_square_pattern() -> None:
    # n · n grains in regular spacing on a square of side n (d + gap) have the areal density N_A
    d, gap = 115.5, nominal_gap(115.5, 100)
    assert 1 / (d + gap) ** 2 == pytest.approx(grains_per_area(d, 100))


def test_no_gap_is_left_from_209_on() -> None:
    assert pytest.approx(209.44, abs=0.01) == DENSEST
    assert nominal_gap(100, 209.4) > 0
    for concentration in (DENSEST, 210, 400):
        with pytest.raises(DressblockError, match="no gap left"):
            nominal_gap(100, concentration)


@pytest.mark.parametrize("concentration", [0, -50, math.nan, math.inf])
def test_a_concentration_is_more_than_nothing(concentration: float) -> None:
    with pytest.raises(DressblockError, match="more than 0"):
        nominal_gap(100, concentration)


# -- a trial: spheres that do not overlap, at random in a box whose sides meet


def scattered(seed: int, side: float, count: int) -> NDArray[np.float64]:
    """``count`` centres of spheres of diameter 1, dropped at random one by one where there is room."""
    rng = np.random.default_rng(seed)
    cells: dict[tuple[int, ...], list[NDArray[np.float64]]] = {}
    per_side = int(side)
    reach = [(i, j, k) for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)]
    placed: list[NDArray[np.float64]] = []
    while len(placed) < count:
        here = rng.random(3) * side
        cell = [int(part) for part in here // (side / per_side)]
        near = [
            other
            for step in reach
            for other in cells.get(tuple((a + b) % per_side for a, b in zip(cell, step, strict=True)), ())
        ]
        if all(np.sum(wrapped(other - here, side) ** 2) >= 1 for other in near):
            cells.setdefault(tuple(part % per_side for part in cell), []).append(here)
            placed.append(here)
    return np.array(placed)


def wrapped(apart: NDArray[np.float64], side: float) -> NDArray[np.float64]:
    positive: NDArray[np.float64] = np.abs(apart)
    return np.minimum(positive, side - positive)


def discs(centres: NDArray[np.float64], side: float, height: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Middles and radii of the discs that the plane at ``height`` cuts out of the spheres."""
    above = wrapped(centres[:, 2] - height, side)
    hit = above < 0.5
    return centres[hit][:, :2], np.sqrt(0.25 - above[hit] ** 2)


def wide_share(centres: NDArray[np.float64], side: float, height: float, width: float) -> float:
    """The share of the bond, in the plane at ``height``, that some free disc of diameter ``width`` covers."""
    cells, margin = 300, 100
    pixel = side / cells
    at = (np.arange(cells) + 0.5) * pixel
    grain = np.zeros((cells, cells), dtype=bool)
    for (x, y), radius in zip(*discs(centres, side, height), strict=True):
        grain |= wrapped(at - x, side)[:, None] ** 2 + wrapped(at - y, side)[None] ** 2 < radius**2
    around = np.pad(grain, margin, mode="wrap")
    free = ndimage.distance_transform_edt(~around) * pixel >= width / 2
    covered = ndimage.distance_transform_edt(~free) * pixel <= width / 2
    bond = ~grain
    return float((covered[margin:-margin, margin:-margin] & bond).sum() / bond.sum())


@pytest.mark.parametrize("concentration", [50, 100, 125])
def test_random_spheres_have_the_areal_density(concentration: float) -> None:
    side = 15.0
    count = round(grains_per_volume(1, concentration) * side**3)
    centres = scattered(int(concentration), side, count)
    planes = [len(discs(centres, side, height)[1]) for height in np.arange(0.25, side, 0.5)]
    # each sphere is cut by two planes half a diameter apart, so the mean carries no chance but that of placing
    assert np.mean(planes) / side**2 == pytest.approx(grains_per_area(1, concentration), rel=0.01)


def test_random_grains_leave_gaps_twice_as_wide_over_a_quarter_of_the_bond() -> None:
    # an opening of the bond by a disc, as in mathematical morphology; scipy's distance transform
    side = 12.0
    centres = scattered(1, side, round(grains_per_volume(1, 100) * side**3))
    shares = [wide_share(centres, side, height, 2 * nominal_gap(1, 100)) for height in np.arange(0.5, side, 2.0)]
    assert np.mean(shares) > TWICE_AS_WIDE


# -- which sticks suit


USUAL = [grain for grain in DIAMONDS if 46 <= int(grain.name[1:]) <= 301]


def test_the_habit_is_one_or_two_sizes_finer() -> None:
    # common practice, no source; D126 and F120 are the same sieves
    assert [grain.name for grain in sticks_for(diamond("D126"), 100).habit] == ["F150", "F180"]


def test_the_habit_is_recommended_whatever_the_nominal_gap() -> None:
    for grain in USUAL:
        for concentration in (50, 75, 100, 150):
            found = sticks_for(grain, concentration)
            assert found.recommended in found.habit
            assert all(found.suits(stick) for stick in found.habit)


def test_nominal_gap_and_habit_agree_around_50_to_65_only() -> None:
    assert all(sticks_for(grain, 50).gap_agrees for grain in USUAL)
    assert sum(sticks_for(grain, 65).gap_agrees for grain in USUAL) > len(USUAL) / 2
    for concentration in (75, 100):
        assert not any(sticks_for(grain, concentration).gap_agrees for grain in USUAL)


def test_what_is_no_wider_than_the_nominal_gap_of_d126() -> None:
    # worked by hand: 51.7 µm at 100, F240 has a median of 44.5 µm; 77.5 µm at 75, F220 ends at 75 µm, F180 at 90 µm
    assert sticks_for(diamond("D126"), 100).fits[0] is known_stick("F240")
    assert [grain.name for grain in sticks_for(diamond("D126"), 75).fits][:2] == ["F220", "F230"]


def test_a_stick_coarser_than_the_habit_does_not_suit() -> None:
    found = sticks_for(diamond("D126"), 100)
    suits = {stick.name: found.suits(stick) for stick in STICKS}
    assert not suits["F120"]
    assert suits["F150"]
    assert suits["F400"]


def test_the_finest_diamonds_of_a_pack_decide() -> None:
    wheels = [sticks_for(diamond("D126"), 100), sticks_for(diamond("D54"), 75), sticks_for(diamond("D64"), 125)]
    assert finest(wheels) is wheels[1]
    assert all(wheel.suits(stick) for stick in wheels[1].habit for wheel in wheels)
