"""The gap between the diamonds: published counts, a trial with random spheres, and which grits get in."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from gen.base.errors import DressblockError
from gen.physics.gap import DENSEST, SPREAD, fit, grains_per_area, grains_per_volume, narrowest, nominal_gap
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


def cut(centres: NDArray[np.float64], side: float, height: float) -> tuple[int, NDArray[np.float64]]:
    """How many spheres the plane at ``height`` cuts, and the room in it from each to its nearest neighbour."""
    above = wrapped(centres[:, 2] - height, side)
    hit = above < 0.5
    radii = np.sqrt(0.25 - above[hit] ** 2)
    flat = centres[hit][:, :2]
    apart = np.sqrt(np.sum(wrapped(flat[:, None] - flat[None], side) ** 2, axis=-1)) - radii[:, None] - radii[None]
    np.fill_diagonal(apart, np.inf)
    return len(flat), apart.min(axis=1)


@pytest.mark.parametrize("concentration", [50, 100, 125])
def test_random_spheres_have_the_areal_density(concentration: float) -> None:
    side = 15.0
    count = round(grains_per_volume(1, concentration) * side**3)
    centres = scattered(int(concentration), side, count)
    planes = [cut(centres, side, height)[0] for height in np.arange(0.25, side, 0.5)]
    # each sphere is cut by two planes half a diameter apart, so the mean carries no chance but that of placing
    assert np.mean(planes) / side**2 == pytest.approx(grains_per_area(1, concentration), rel=0.01)


def test_the_spread_of_the_gap_is_the_one_told() -> None:
    side = 15.0
    shares: list[float] = []
    for seed in (1, 2):
        centres = scattered(seed, side, round(grains_per_volume(1, 100) * side**3))
        for height in np.arange(0.25, side, 0.5):
            shares += list(cut(centres, side, height)[1] / nominal_gap(1, 100))
    low, high = np.quantile(shares, [0.1, 0.9])
    assert (low, high) == pytest.approx(SPREAD, abs=0.04)


# -- which grits get in


def test_what_gets_between_d126_at_100() -> None:
    found = fit(diamond("D126"), 100)
    assert found.recommended is known_stick("F240")
    assert found.fits == STICKS[STICKS.index(found.fits[0]) :]
    assert not found.admits(STICKS[STICKS.index(found.fits[0]) - 1])
    f220, f400 = known_stick("F220"), known_stick("F400")
    assert f220 is not None
    assert f400 is not None
    assert not found.admits(f220)
    assert found.admits(f400)


def test_a_sieved_size_gets_in_only_with_its_coarsest() -> None:
    # worked by hand: 77.5 µm at 75; F220 ends at 75 µm, F180 at 90 µm though its middle is 76.5 µm
    assert [grain.name for grain in fit(diamond("D126"), 75).fits][:2] == ["F220", "F230"]


def test_the_habit_is_one_or_two_sizes_finer() -> None:
    # common practice, no source; D126 and F120 are the same sieves
    assert [grain.name for grain in fit(diamond("D126"), 100).habit] == ["F150", "F180"]


def test_gap_and_habit_agree_up_to_about_60_to_75_only() -> None:
    # the design page: above, the gap asks for two or three sizes finer
    usual = [grain for grain in DIAMONDS if 46 <= int(grain.name[1:]) <= 251]
    at_60 = [fit(grain, 60).accord for grain in usual]
    assert at_60.count("agree") >= 8
    for concentration in (75, 80, 100):
        assert {fit(grain, concentration).accord for grain in usual} == {"gap-finer"}
    assert {fit(grain, 100).sizes_finer for grain in usual} <= {2, 3, 4}
    assert fit(diamond("D126"), 100).sizes_finer == 3
    assert fit(diamond("D126"), 40).accord == "gap-coarser"


def test_there_may_be_no_grit_that_gets_in() -> None:
    found = fit(diamond("D46"), 200)
    assert found.fits == ()
    assert found.recommended is None
    assert found.accord is None
    assert found.sizes_finer is None


def test_the_narrowest_wheel_of_a_pack_decides() -> None:
    wheels = [fit(diamond("D126"), 100), fit(diamond("D54"), 75), fit(diamond("D64"), 125)]
    least = narrowest(wheels)
    assert least is wheels[2]
    assert all(set(least.fits) <= set(wheel.fits) for wheel in wheels)
