"""The grain tables, against what is published of the two standards and against themselves."""

from __future__ import annotations

import itertools
import math

import pytest

from gen.base.errors import DressblockError
from gen.physics.grains import DIAMONDS, STICKS, WIDE_DIAMONDS, Grain, diamond, known_diamond, known_stick

SIEVES = {
    # openings in µm of the US sieve numbers, ASTM E 11 / ISO 3310 (from memory)
    16: 1180, 18: 1000, 20: 850, 25: 710, 30: 600, 35: 500, 40: 425, 45: 355, 50: 300, 60: 250, 70: 212,
    80: 180, 100: 150, 120: 125, 140: 106, 170: 90, 200: 75, 230: 63, 270: 53, 325: 45, 400: 38,
}  # fmt: skip


@pytest.mark.parametrize("grain", [*DIAMONDS, *WIDE_DIAMONDS], ids=lambda grain: grain.name)
def test_a_diamond_size_lies_between_the_openings_of_its_two_sieves(grain: Grain) -> None:
    coarse, fine = (SIEVES[int(number)] for number in (grain.mesh or "").split("/"))
    assert (grain.low, grain.high) == (fine, coarse)
    assert grain.um == (fine + coarse) / 2


def test_the_sizes_are_named_as_in_the_standards() -> None:
    # ISO 6106 and ISO 8486-1 (from memory)
    narrow = "D1181 D1001 D851 D711 D601 D501 D426 D356 D301 D251 D213 D181 D151 D126 D107 D91 D76 D64 D54 D46"
    assert [grain.name for grain in DIAMONDS] == narrow.split()
    assert [grain.name for grain in WIDE_DIAMONDS] == ["D1182", "D852", "D602", "D427", "D252"]
    openings = {"F4": 5600, "F8": 2800, "F16": 1400, "F24": 850, "F36": 600, "F60": 300, "F80": 212, "F120": 125}
    assert {grain.name: grain.high for grain in STICKS if grain.name in openings} == openings


def test_what_the_design_page_states() -> None:
    assert (diamond("D126").mesh, diamond("D126").low, diamond("D126").high) == ("120/140", 106, 125)
    f220 = known_stick("F220")
    assert f220 is not None
    assert (f220.low, f220.high, f220.kind) == (53, 75, "sieved")
    medians = {"F240": 44.5, "F280": 36.5, "F320": 29.2, "F360": 22.8, "F400": 17.3}
    for name, median in medians.items():
        grain = known_stick(name)
        assert grain is not None
        assert (grain.um, grain.kind) == (median, "settled")


def test_sizes_run_from_coarse_to_fine_without_a_gap() -> None:
    for coarse, fine in itertools.pairwise(DIAMONDS):
        assert coarse.low == fine.high
    for coarse, fine in itertools.pairwise(STICKS):
        assert coarse.um > fine.um
        if coarse.kind == fine.kind:
            assert coarse.high > fine.high
            assert coarse.low >= fine.low


def test_the_first_stick_sizes_are_neighbouring_sieves() -> None:
    # ISO 8486-1 up to F120 holds the bulk of a size between neighbouring sieves (from memory)
    sieved = [grain for grain in STICKS if grain.kind == "sieved"]
    upto = sieved[: [grain.name for grain in sieved].index("F120") + 1]
    for coarse, fine in itertools.pairwise(upto):
        assert coarse.low == fine.high


def test_a_median_lies_within_its_limits_and_the_medians_do_not_overlap() -> None:
    settled = [grain for grain in STICKS if grain.kind == "settled"]
    assert [grain.name for grain in settled][:2] == ["F230", "F240"]
    for grain in settled:
        assert grain.tolerance is not None
        assert grain.low < grain.um - grain.tolerance
        assert grain.um + grain.tolerance < grain.high
    for coarse, fine in itertools.pairwise(settled):
        assert coarse.um - (coarse.tolerance or math.inf) > fine.um + (fine.tolerance or math.inf)


def test_a_sieved_size_needs_its_coarser_opening_and_a_settled_one_its_median() -> None:
    needs = {grain.name: grain.needs_um for grain in STICKS}
    assert needs["F220"] == 75
    assert needs["F240"] == 44.5


@pytest.mark.parametrize("name", ["D126", "d126", " D 126 ", "120/140", "120 / 140"])
def test_a_diamond_size_is_found_by_number_and_by_mesh(name: str) -> None:
    assert diamond(name) is DIAMONDS[13]
    assert known_diamond(name) is DIAMONDS[13]


def test_a_wide_size_is_found() -> None:
    assert (diamond("60/80").name, diamond("D252").low) == ("D252", 180)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        # ASTM E 11 sieves: 240 mesh lies between 230 (63 µm) and 270 (53 µm), 180 between 170 and 200 (from memory)
        ("D240", "240 µm would be D251 (60/70 mesh, 212 to 250 µm); 240 mesh (US) would be D64 (230/270 mesh"),
        ("240", "Ask the wheel's maker which is meant."),
        ("D 180", "180 mesh (US) would be D91 (170/200 mesh, 75 to 90 µm)"),
        ("320", "320 µm would be D356 (45/50 mesh, 300 to 355 µm); 320 mesh (US) would be D54 (270/325 mesh"),
        ("D120", "120 µm would be D126 (120/140 mesh, 106 to 125 µm); 120 mesh (US) would be D126"),
        ("D25", "No sieved size has grains of 25 µm; 25 mesh (US) would be D711"),
        ("D9", "from D1181 (16/18 mesh, 1000 to 1180 µm) to D46 (325/400 mesh, 38 to 45 µm)"),
        ("120/230", "did you mean"),
        ("", "such as D126"),
        ("F240", "such as D126"),
    ],
)
def test_an_unknown_size_is_answered_with_what_is_known(name: str, said: str) -> None:
    assert known_diamond(name) is None
    with pytest.raises(DressblockError, match=r"ISO 6106") as caught:
        diamond(name)
    assert said in str(caught.value)


def test_an_unknown_stick_is_not_guessed() -> None:
    # "240" alone could be a size of another system
    assert known_stick("240") is None
    assert known_stick("F241") is None
    assert known_stick("f 240") is known_stick("F240")
