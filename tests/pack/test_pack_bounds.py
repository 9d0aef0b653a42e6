"""What a pack must not do: come near a neighbour, meet a shoulder, remove too much, stand out too far."""

from __future__ import annotations

from pathlib import Path

import pytest

from changed import changed
from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.base.toml import as_toml
from gen.control.options import Options
from gen.jobs.generate import prepare
from gen.shop.agreement import cross_check
from pack_bench import MACHINE, RECIPE, Table, dress_of, judged, rules, tables, wheel

BIG, SMALL = ("140 mm", "150 mm"), ("115 mm", "125 mm")


def beside(place: float, **own: object) -> Table:
    """A large wheel from 35 to 45 mm, and a small one 6 mm wide at ``place``."""
    return {
        "wheel": [wheel(BIG, "10 mm", "40 mm"), wheel(SMALL, "6 mm", f"{place} mm", **own)],
    }


def the(findings: tuple[Finding, ...], rule: str) -> Finding:
    return next(finding for finding in findings if finding.rule == rule and finding.severity == "error")


# -- neighbour


def test_the_stick_beside_a_larger_wheel() -> None:
    # lanes at ∓5 and the half stick of 8 reach 13 mm out: from 45 + 1 on it is clear, so 59.1 does, 58.9 does not
    holder = {"dresser.holder": ["10 mm", "30 mm"]}
    assert "neighbour" not in rules(judged(beside(59.1), holder))
    found = the(judged(beside(58.9), holder), "neighbour")
    assert found.line is not None
    assert "the stick" in found.message
    assert "wheel 1" in found.message


def test_side_clearance_counts() -> None:
    holder = {"dresser.holder": ["10 mm", "30 mm"], "dresser.side_clearance": "3 mm"}
    assert "neighbour" in rules(judged(beside(60.9), holder))
    assert "neighbour" not in rules(judged(beside(61.1), holder))


def test_the_holder_reaches_the_neighbour_when_the_stick_is_short() -> None:
    # the holder's half of 15 and the lane at −5 reach 20 mm: 45 + 1 is clear from 66 on.
    # On the last stick the seat ends 115/2 + 40 from the axis, the holder 62.5, which is 12.5 inside 75
    wide = {"dresser.holder": ["30 mm", "35 mm"]}
    assert "neighbour" not in rules(judged(beside(66.1), wide))
    found = the(judged(beside(65.9), wide), "neighbour")
    assert "the holder" in found.message
    assert "goes 12.5 mm deep" in found.message


def test_a_smaller_neighbour_is_passed_over_with_the_clearance_between() -> None:
    # from the worn wheel of 130 mm to one of 122 at the most there are 4 mm, as wanted; to one of 122.2 but 3.9
    def found(new: str) -> list[str]:
        pack = {"wheel": [wheel(("130 mm", "150 mm"), "10 mm", "40 mm"), wheel(("90 mm", new), "6 mm", "48 mm")]}
        return [finding.message for finding in judged(pack) if finding.rule == "neighbour"]

    first = "at the bottom of this plunge into wheel 1 the stick"
    assert not any(message.startswith(first) for message in found("122 mm"))
    assert any(message.startswith(f"{first} comes within 3.9 mm of wheel 2") for message in found("122.2 mm"))


def test_a_stick_that_would_hit_a_larger_wheel_on_its_way_is_refused() -> None:
    assert "neighbour" in rules(judged(beside(50)))


# -- shoulder


def two_slots(first: str, second: str, **others: object) -> Table:
    """A stick that is 10 mm longer than it may get, 40 mm wide: a slot of 6 mm at ``first``, one of 4 at ``second``."""
    wheels = [wheel(BIG, "6 mm", "40 mm", lane=first), wheel(SMALL, "4 mm", "100 mm", lane=second)]
    slots = {"stick.section": ["40 mm", "20 mm"], "stick.length": "50 mm", "dress.lanes": "one"}
    return {"wheel": wheels, **slots, **others}


def test_each_wheel_in_a_lane_of_its_own() -> None:
    for sign in "+-":
        assert rules(judged(two_slots("-9 mm", "9 mm"), {"dresser.lateral_sign": sign})) == set()
    # 6 mm from −12 to −6 and 4 mm from 7 to 11: walls of 8, 13 and 9 mm
    assert dress_of(two_slots("-9 mm", "9 mm")).walls == pytest.approx((8, 13, 9))


@pytest.mark.parametrize("second", ["0 mm", "3 mm", "-4.9 mm"])
def test_a_lane_that_another_wheel_has_cut_is_a_shoulder(second: str) -> None:
    found = the(judged(two_slots("0 mm", second)), "shoulder")
    assert "would meet a shoulder" in found.message


def test_two_wheels_alike_may_share_a_slot() -> None:
    shared = two_slots("0 mm", "0 mm") | {"wheel.1.width": "6 mm"}
    assert rules(judged(shared)) == set()
    assert dress_of(shared).stick_per_dress == 6


def test_lanes_that_wear_unevenly_part_from_the_register() -> None:
    """Two wheels in one slot take twice what the third takes from its own, and one length cannot be right for both."""
    third = wheel(SMALL, "6 mm", "160 mm", lane="-12 mm")
    alike = two_slots("0 mm", "0 mm") | {"wheel.1.width": "6 mm"}
    uneven = {**alike, "wheel": [*alike["wheel"], third]}
    assert "would meet a shoulder" in the(judged(uneven), "shoulder").message


def test_a_slot_is_no_deeper_than_twice_the_thinnest_wall() -> None:
    # −12 … −6 and −1 … 3: 5 mm between the two are enough for 10 mm, 4.9 are not
    assert rules(judged(two_slots("-9 mm", "1 mm"))) == set()
    found = the(judged(two_slots("-9 mm", "0.9 mm")), "shoulder")
    assert "twice the wall of 4.9 mm" in found.message


def test_a_slot_is_no_deeper_than_the_thinnest_rim() -> None:
    assert "shoulder" in rules(judged(two_slots("-9 mm", "9 mm") | {"wheel.1.rim_depth": "9 mm"}))
    assert "shoulder" not in rules(judged(two_slots("-9 mm", "9 mm") | {"wheel.1.rim_depth": "10 mm"}))


def test_the_free_lane_is_named_and_fits(tmp_path: Path) -> None:
    (job,) = prepare(write(tmp_path, two_slots("0 mm", "0 mm")), Options())
    (change,) = the(job.findings, "shoulder").changes
    assert (change.file, change.key) == ("recipe", "wheel[0].lane")
    assert change.text in the(job.findings, "shoulder").message
    assert rules(judged(two_slots("0 mm", "0 mm") | {"wheel.0.lane": change.value})) == set()


def write(folder: Path, recipe: Table) -> Path:
    """Machine and recipe as files."""
    (folder / "dress").mkdir()
    (folder / "machine.toml").write_text(as_toml(MACHINE))
    path = folder / "dress" / "pack.toml"
    path.write_text(as_toml(changed(RECIPE, recipe)))
    return path


# -- load


def test_removal_is_width_in_contact_by_height_by_feed() -> None:
    # 10 · 20 · 300 = 60000 mm3/min, 1000 mm3/s; 0.1 mm/min of rounding is forgiven
    assert "removal" not in rules(judged(machine={"dresser.max_removal": "96000 mm3/min"}))
    alone = {"wheel": RECIPE["wheel"][:1]}
    assert "removal" not in rules(judged(alone, {"dresser.max_removal": "1000 mm3/s"}))
    found = the(judged(alone, {"dresser.max_removal": "59000 mm3/min"}), "removal")
    assert "max_removal is 59000 mm3/min" in found.message
    assert dress_of().first.removal(300.0) == 10 * 20 * 300
    assert dress_of().wheels[2].removal(270.0) == 16 * 20 * 270
    assert {one.rule for one in judged(machine={"dresser.max_removal": "80000 mm3/min"})} == {"removal"}


def test_overhang_is_what_stands_out_of_jaw_and_holder() -> None:
    assert dress_of().overhang == 120
    assert dress_of(machine={"dresser.jaw": "35 mm"}).overhang == 115
    assert "overhang" not in rules(judged(machine={"dresser.max_overhang": "120 mm"}))
    found = the(judged(machine={"dresser.max_overhang": "119 mm"}), "overhang")
    assert "stands 120 mm out of its clamp" in found.message


def test_a_slender_stick_is_worth_a_warning() -> None:
    """Six times its height: a judgement, no source."""
    free = {"dresser.guided": False}
    assert judged(machine=free) == ()
    (found,) = judged({"stick.section": ["16 mm", "19.9 mm"]}, free)
    assert (found.rule, found.severity) == ("overhang", "warning")
    assert "judgement" in found.message
    assert judged({"stick.section": ["16 mm", "19.9 mm"]}) == ()
    assert judged({"stick.section": ["16 mm", "19.9 mm"]}, free | {"dresser.max_overhang": "120 mm"}) == ()


# -- the files


@pytest.mark.parametrize(
    ("recipe", "machine", "sentence"),
    [
        ({"wheel.1.lateral": "46 mm"}, {}, "wheel[1].lateral: this wheel would overlap wheel 1 by 2 mm"),
        ({"wheel.1.taper": "2 deg", "stick.section": ["6 mm", "20 mm"]}, {},
         "wheel[1].taper: a tapered wheel leaves its lane of the stick's end slanted, and wheels 1 and 3 would meet"),
        ({}, {"dresser.holder": None}, "wheel: the machine file does not say how wide the stick's holder is"),
        ({}, {"registers.wheel_diameter": 501}, "wheel: this pack has 3 wheels, and the machine file 1 for them"),
        ({}, {"dresser.inclination": "5 deg"}, "wheel[0].width: inclined, the stick covers 16.061 mm"),
        ({"wheel.1.lane": "2 mm"}, {}, 'wheel[1].lane: only lanes = "one" has a place of its own'),
        ({"wheel.1.lane": "5.1 mm", "dress.lanes": "one"}, {}, "wheel[1].lane: a lane at 5.1 mm reaches beyond"),
        ({"wheel.1.aggressiveness": 199}, {}, "wheel[1].aggressiveness: 199 is outside"),
        ({"wheel.2.lateral": None}, {}, "wheel[2].lateral: the machine places the stick with axis Z"),
    ],
)  # fmt: skip
def test_what_a_pack_needs(recipe: Table, machine: Table, sentence: str) -> None:
    with pytest.raises(DressblockError) as caught:
        cross_check(*tables(recipe, machine))
    assert sentence in str(caught.value)


def test_an_incremental_slide_cannot_go_from_wheel_to_wheel() -> None:
    slide = {"dresser.motion": "incremental", "dresser.stand_off": "4 mm", "dresser.datum": None,
             "dresser.parked": None, "registers": None}  # fmt: skip
    with pytest.raises(DressblockError, match="a stand-off is set to one wheel only"):
        cross_check(*tables({}, slide))
