"""The gap check: where the stick stops, against drawings of stick and wheel; what it must not do; what a gap tells.

Wheel and stick are drawn by shapely as polygons where the machine really has them, from the recipe's numbers alone,
and the gap is the distance between the two drawings.
"""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import shapely
import shapely.affinity

import feeder_bench
import pack_bench
from example_files import GONE, machine, recipe
from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.base.places import data_folder
from gen.bounds.build import build
from gen.bounds.judge import judge
from gen.bounds.readback import read_cases
from gen.control.draft import Program
from gen.control.options import Options
from gen.control.seal import blocks
from gen.jobs.check import check_program
from gen.jobs.provenance import Named
from gen.paper.sheet import sheet
from gen.plan.evaluate import at
from gen.plan.step import Coolant, Move, Spindle, Step, Stop, Write
from gen.shop.load import load_machine, load_recipe
from judge import judge as outside
from runner import invoke

GAP_CHECK = Options(purpose="gap-check")
CONTROLS: dict[str, dict[str, Any]] = {
    "rs274ngc": {},
    "hash-variables": {"control": "hash-variables", "dresser__machine_frame_feeds": True},
    "r-variables": {"control": "r-variables", "dresser__machine_frame_feeds": True},
    "iso6983": {"control": "iso6983", "registers": None},
}


def built(options: Options = GAP_CHECK, *, of_recipe: dict[str, Any] | None = None, **changes: Any) -> Program:
    return build(recipe(**(of_recipe or {})), machine(**changes), ("bench", "opening"), options)


def broken(findings: tuple[Finding, ...] | list[Finding]) -> set[str]:
    return {finding.rule for finding in findings if finding.severity == "error"}


def stops(steps: list[Step], axis: str = "U") -> list[float]:
    """Where the plunge axis stands at each stop behind the first one."""
    stood, found = 0.0, []
    for step in steps:
        if isinstance(step, Move):
            stood = step.to[axis]
        elif isinstance(step, Stop):
            found.append(stood)
    return found[1:]


# -- where it stops


@pytest.mark.parametrize("control", CONTROLS)
def test_it_stops_a_gap_before_contact_and_does_nothing_else(control: str) -> None:
    gone: dict[str, Any] = {"host": GONE} if control == "r-variables" else {}
    program = built(**CONTROLS[control], **gone)
    assert program.findings == () or broken(program.findings) == set()
    for state in program.dress.corners():
        steps = at(program.plan, state)
        length, diameter = state.values["stick_length"], state.values["wheel_diameter"]
        # design section 5: contact = 260 − (L + D/2); the gap is 1 mm
        assert stops(steps) == pytest.approx([260 - (length + diameter / 2) - 1], abs=0.0011)
        assert [step for step in steps if isinstance(step, Write)] == []
        assert {step.direction for step in steps if isinstance(step, Spindle)} == {"off"}
        assert {step.on for step in steps if isinstance(step, Coolant)} == {False}
        rapids = [step.to["U"] for step in steps if isinstance(step, Move) and step.op == "rapid"]
        assert set(rapids) == {0.0}
        assert {step.rate for step in steps if isinstance(step, Move) and step.op == "feed"} == {60.0}


@pytest.mark.parametrize("control", CONTROLS)
def test_at_every_wheel_of_a_pack_at_its_own_place(control: str) -> None:
    changes = {key.replace("__", "."): value for key, value in CONTROLS[control].items()}
    own = {"wheel.1.at": {"X": "0 mm"}, "wheel.1.via": [{"X": "30 mm"}]}
    program = build(*pack_bench.tables(own, changes), ("bench", "pack"), GAP_CHECK)
    assert broken(program.findings) == set()
    steps = at(program.plan, program.dress.state())
    # 330 − (150 + D/2) − 1
    assert stops(steps, "V") == [104, 116.5, 129]
    at_stops = [step.to["X"] for step, after in itertools.pairwise(steps)
                if isinstance(step, Move) and isinstance(after, Stop) and step.to["V"] > 0]  # fmt: skip
    assert at_stops == [20, 0, 20]


def test_rs274_stops_where_the_plan_says_and_leaves_every_register() -> None:
    program = build(*pack_bench.tables(), ("bench", "pack"), GAP_CHECK)
    state = program.dress.state(length=Decimal(90))
    numbers = {int(program.plan.registers[name]): value for name, value in state.values.items()}
    ruling = outside(program.text, registers=numbers, saved=numbers, letters={"V": "Y"})
    assert ruling.error is None or ruling.error == ""
    assert {number: ruling.parameters[number] for number in numbers} == pytest.approx(numbers)
    assert stops(list(ruling.steps), "V") == pytest.approx([164, 176.5, 189], abs=0.0011)


def test_a_slow_or_quick_dresser_keeps_to_what_it_can() -> None:
    def feed(*limits: str, **changes: Any) -> set[float | None]:
        program = built(dresser__feed=list(limits), **changes)
        steps = at(program.plan, program.dress.state())
        return {step.rate for step in steps if isinstance(step, Move) and step.op == "feed"}

    assert feed("80 mm/min", "400 mm/min") == {80.0}
    assert feed("10 mm/min", "40 mm/min") == {40.0}
    assert feed("10 mm/min", "400 mm/min", axes__U__max_feed="30 mm/min") == {30.0}
    assert feed("10 mm/min", "400 mm/min", dresser__check_feed="20 mm/min") == {20.0}


# -- against drawings

BIG = 400.0


def across_the_axis(program: Program, place: float, size: float, length: float, datum: float) -> float:
    """Section across the wheel's axis: a disc, and the stick with its height; the stick comes along x."""
    height = float(program.dress.stick.section[1])
    wheel = shapely.Point(0, 0).buffer(size / 2, quad_segs=20_000)
    end = place - datum + length  # x of the stick's end, the spindle's centre line at 0
    stick = shapely.box(end - length, -height / 2, end, height / 2)
    return float(wheel.distance(stick))


def along_the_axis(program: Program, place: float, size: float, length: float, datum: float) -> float:
    """Section along the wheel's axis: a flat surface, and a square-ended stick that comes at the inclination."""
    wheel, width = program.dress.first, float(program.dress.stick.section[0])
    half, lean = float(wheel.keys.width) / 2, math.radians(float(program.dress.dresser.inclination))
    surface = shapely.box(0, -half, BIG, half) if wheel.face else shapely.box(-size / 2, -half, size / 2, half)
    # the datum is where an empty seat would be on the centre line, or on the gauge plane of a face
    along = datum - place
    face_at = -float(size) if wheel.face else 0.0
    surface = shapely.affinity.translate(surface, face_at if wheel.face else 0.0)
    stick = shapely.box(-along, -width / 2, -along + length, width / 2)
    # the stick's middle meets the middle of the wheel's surface
    drawn = shapely.affinity.rotate(stick, math.degrees(lean), origin=(0, 0))
    if lean:
        middle = -size / 2 * math.tan(lean)
        drawn = shapely.affinity.translate(drawn, 0, -middle)
    return float(surface.distance(drawn))


FACE: dict[str, Any] = {"wheel__contact": "face", "wheel__gauge": ["40 mm", "46 mm"], "wheel__width": "5 mm",
                        "stick__section": ["5 mm", "10 mm"]}  # fmt: skip
KINDS: dict[str, tuple[dict[str, Any], dict[str, Any], Callable[..., float]]] = {
    "periphery": ({}, {}, across_the_axis),
    "table": ({}, {"dresser__kind": "table"}, across_the_axis),
    "face": (FACE, {"registers__wheel_gauge": 505}, along_the_axis),
    "inclined": ({"stick__section": ["6 mm", "20 mm"], "dress__lanes": "one"}, {"dresser__inclination": "20 deg"},
                 along_the_axis),
    "wide gap": ({}, {"dresser__check_gap": "2.5 mm"}, across_the_axis),
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_the_gap_that_a_feeler_gauge_finds_is_the_one_told(kind: str) -> None:
    of_recipe, of_machine, drawn = KINDS[kind]
    program = built(of_recipe=of_recipe, **of_machine)
    assert broken(program.findings) == set()
    told = float(program.dress.dresser.measured_gap or 0)
    for state in program.dress.corners():
        steps = at(program.plan, state)
        size, length = state.values[program.dress.first.size_name], state.values["stick_length"]
        (place,) = stops(steps)
        assert drawn(program, place, size, length, 260.0) == pytest.approx(told, abs=0.003)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("off", [0.5, -0.5])
def test_a_datum_that_is_half_a_millimetre_off_shows_in_the_gap(kind: str, off: float) -> None:
    """The machine file says 260 mm, and the machine has its spindle 0.5 mm from there."""
    of_recipe, of_machine, drawn = KINDS[kind]
    program = built(of_recipe=of_recipe, **of_machine)
    told = float(program.dress.dresser.measured_gap or 0)
    state = program.dress.state()
    size, length = state.values[program.dress.first.size_name], state.values["stick_length"]
    (place,) = stops(at(program.plan, state))
    measured = drawn(program, place, size, length, 260.0 + off)
    cosine = math.cos(math.radians(float(program.dress.dresser.inclination)))
    assert measured == pytest.approx(told + off * cosine, abs=0.003)
    # the sheet calls 0.2 mm good and no more; what it says the datum should then be is right
    assert abs(measured - told) > 0.2
    share = 1 / cosine
    assert 260 + share * (measured - told) == pytest.approx(260 + off, abs=0.005)


def test_the_other_way_round_the_sheet_takes_the_difference_off() -> None:
    other: dict[str, Any] = {"dresser__toward_wheel": "-", "dresser__datum": "-70 mm", "dresser__parked": "190 mm"}
    program = built(**other)
    assert broken(program.findings) == set()
    assert stops(at(program.plan, program.dress.state())) == [-70 + 150 + 62.5 + 1]
    assert "−70 mm − (gap measured − 1 mm)" in " ".join(sheet(program).text.split())


def test_a_datum_that_is_off_is_refused_by_datum_too(tmp_path: Path) -> None:
    """Two touches, the second with the wheel 0.5 mm further off: 260 = p + 150 + 62.5 and p + 100 + 62.5."""
    touches, file = tmp_path / "touches.csv", data_folder("machines") / "north-bench" / "machine.toml"
    touches.write_text("position_mm,stick_length_mm,wheel_diameter_mm\n47.5,150,125\n98,100,125\n")
    said = invoke("datum", str(touches), "--machine", str(file))
    assert said.exit_code == 1
    assert "differ by 0.500 mm" in said.output + said.stderr


# -- what it must not do


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ("M5\nM9", "M3 S100\nM9", "the spindle is switched on"),
        ("M5\nM9", "M9", "the spindle is not switched off before"),
        ("M5\nM9", "M5\nM8", "the coolant is switched on"),
        ("G4 P3 (", "G4 P2 (", "goes in 2 s after the spindle was switched off"),
        ("U[#592-1]", "U[#592-0.5]", "the stick comes within 0.5 mm of the wheel; a gap check stays 1 mm away"),
        ("U[#592-1]", "U[#592-2]", "2 mm from contact; 1 mm is to be measured"),
        ("U[#592-1]", "U[#592+1]", "the stick goes 1 mm into the wheel; a gap check stays 1 mm away"),
        ("#591+[#590/2]", "#591+[#590/1.99]", "is to be measured"),
        ("G53 G1 U[#592-1] F60", "G53 G0 U[#592-1]", "toward the wheel as a rapid"),
        ("F60", "F90", "goes in at 90 mm/min; the gap check's feed is 60 mm/min"),
        ("M0 (measure the gap: 1 mm)", "(measure the gap: 1 mm)", "does not stop at the gap"),
        ("M0 (measure the gap: 1 mm)\nG53 G0 U0", "M0", "it must be parked at 0 mm"),
        ("M0 (measure", "#502 = 100\nM0 (measure", "a gap check writes nothing, and this one writes register 502"),
        ("G53 G1 U", "M49\nG53 G1 U", "a gap check leaves the overrides free"),
        ("G53 G0 Z42.5", "G53 G0 Z40", "axis Z stands at 40 mm when the gap is measured"),
        ("G53 G0 Z42.5\n", "", "the gap is measured before axis Z was brought to its place"),
    ],
)  # fmt: skip
def test_what_was_changed_is_found(before: str, after: str, sentence: str) -> None:
    program = built()
    assert before in program.text
    found = judge(read_cases(replace(program, text=program.text.replace(before, after)))).findings
    assert any(sentence in one.message for one in found if one.severity == "error"), found


def test_a_neighbour_is_held_off_at_the_gap_as_well() -> None:
    """A stick of 16 mm at 37 mm reaches to 29 mm; a wheel at 25 mm, 6 mm wide and larger, would be met first."""
    larger = pack_bench.wheel(("170 mm", "180 mm"), "6 mm", "25 mm")
    near = {"wheel": [pack_bench.RECIPE["wheel"][0], larger], "dress.plunge": "0.5 mm"}
    program = build(*pack_bench.tables(near), ("bench", "pack"), GAP_CHECK)
    said = [one.message for one in program.findings if one.rule in ("neighbour", "gap-check")]
    assert any("at the gap before wheel 1" in one for one in said), said


def test_a_stick_so_wide_that_it_meets_another_wheel_is_said_to_go_into_it() -> None:
    # 60 mm of stick reach 30 mm to either side, and the next wheel stands 40 mm further on, 10 mm to this side of it:
    # at the gap before wheel 2, of 115 mm, the stick is 1 - (150 - 115) / 2 = -16.5 mm from wheel 1, of 150 mm
    wide = {"stick.section": ["60 mm", "20 mm"], "stick.length": "150 mm"}
    found = build(
        *pack_bench.tables(wide, {"dresser.holder": ["20 mm", "30 mm"]}), ("bench", "pack"), GAP_CHECK
    ).findings
    said = [one.message for one in found if one.rule == "gap-check"]
    assert any(one.startswith("the stick goes 16.5 mm into the wheel; a gap check stays 1 mm away") for one in said), (
        said
    )


def test_a_gap_that_the_edges_of_a_groove_would_close_is_refused() -> None:
    # sagittas of 60 mm on 100 and 125 mm: 50 − √(50² − 30²) = 10 and 62.5 − √(62.5² − 30²) = 7.67
    tall = {"stick__section": ["10 mm", "60 mm"]}
    found = [one for one in built(of_recipe=tall, dresser__clearance="14 mm").findings if one.rule == "gap-check"]
    assert "come 2.329 mm nearer" in found[0].message
    change = found[0].changes[0]
    assert (change.file, change.key) == ("machine", "dresser.check_gap")
    better = built(of_recipe=tall, dresser__clearance="14 mm", dresser__check_gap=change.value)
    assert "gap-check" not in broken(better.findings)


def test_a_dresser_without_a_datum_has_no_gap_to_check() -> None:
    slide = {"dresser.motion": "incremental", "dresser.stand_off": "4 mm", "dresser.datum": None,
             "dresser.parked": None, "registers": None}  # fmt: skip
    stroke = pack_bench.tables({"wheel": [pack_bench.RECIPE["wheel"][0]]}, slide)
    timed = feeder_bench.recipe(), feeder_bench.machine()
    for what, files in (("an incremental dresser", stroke), ("a timed feeder", timed)):
        with pytest.raises(
            DressblockError, match=f"{what} has no datum that a gap could prove: its stand-off is a gap"
        ):
            build(*files, ("bench", "opening"), GAP_CHECK)


# -- its own name, heading and sheet


def test_files_marks_and_heading_are_its_own(tmp_path: Path) -> None:
    rough = data_folder("machines") / "north-bench" / "dress" / "flute-rough.toml"
    made = invoke("generate", str(rough), "--gap-check", "--out", str(tmp_path), "--json")
    assert made.exit_code == 0, made.output
    (one,) = json.loads(made.stdout)["programs"]
    program = Path(one["program"])
    assert program.name == "flute-rough-gap-check.ngc"
    text = program.read_text()
    assert "(BEGIN GAP-CHECK 7401 " in text
    assert "(GAP CHECK ONLY, SPINDLE OFF, DOES NOT DRESS)" in text
    assert "AGGRESSIVENESS" not in text
    assert sorted(path.suffix for path in program.parent.iterdir()) == [".html", ".ngc", ".txt"]
    program.with_suffix(".txt").write_text("another sheet")
    again = invoke("generate", str(rough), "--gap-check", "--check", "--out", str(tmp_path))
    assert (again.exit_code, "flute-rough-gap-check.txt no longer says" in again.output) == (1, True), again.output
    checked = invoke("check", str(program))
    assert (checked.exit_code, "all bounds hold" in checked.output) == (0, True)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("GAP-CHECK 7401", "DRESS 7401"),
        ("GAP-CHECK 7401", "PROVE-OUT 7401"),
        ("(GAP CHECK ONLY, SPINDLE OFF, DOES NOT DRESS)\n", ""),
        ("GAP CHECK ONLY, SPINDLE OFF, DOES NOT DRESS", "PROVE-OUT ONLY, STICK HELD OFF, DOES NOT DRESS"),
    ],
)
def test_it_cannot_be_taken_for_another(old: str, new: str, tmp_path: Path) -> None:
    folder = data_folder("machines") / "north-bench"
    files = load_recipe(folder / "dress" / "flute-rough.toml"), load_machine(folder / "machine.toml")
    text = build(*files, ("north-bench", "flute-rough"), GAP_CHECK).text
    assert old in text
    text = text.replace(old, new)
    (block,) = blocks(text.splitlines())
    (tmp_path / "one.ngc").write_text(text.replace(block.stated, block.computed))
    found = check_program(tmp_path / "one.ngc", Named(root=data_folder("machines")))
    assert "prove-out" in broken(found)


def test_a_stick_that_stops_beside_the_wheel_is_told(tmp_path: Path) -> None:
    folder = data_folder("machines") / "north-bench"
    files = load_recipe(folder / "dress" / "flute-rough.toml"), load_machine(folder / "machine.toml")
    text = build(*files, ("north-bench", "flute-rough"), GAP_CHECK).text
    assert "G53 G0 Z42.5" in text
    (tmp_path / "one.ngc").write_text(text.replace("G53 G0 Z42.5", "G53 G0 Z142.5"))
    found = check_program(tmp_path / "one.ngc", Named(root=data_folder("machines")))
    assert any(
        "the stick stops beside the wheel, far from contact; 1 mm is to be measured" in one.message for one in found
    )


def test_the_number_is_the_recipe_s_where_it_says_so() -> None:
    program = built(of_recipe={"gap_check_program": 7999})
    assert "BEGIN GAP-CHECK 7999" in program.text
    assert "gap check, program 7999" in " ".join(
        sheet(built(Options(), of_recipe={"gap_check_program": 7999})).text.split()
    )


def test_the_sheet_says_what_to_measure_where_and_what_it_means() -> None:
    own = {"wheel.1.at": {"X": "0 mm"}}
    text = " ".join(sheet(build(*pack_bench.tables(own), ("bench", "pack"), GAP_CHECK)).text.split())
    assert "program 7601" in text
    assert "2 Wheel 1 mm ± 0.2 mm measure the gap at wheel 2: 1 mm V 116.5 mm, X 0 mm, Z 75 mm" in text
    assert "Lock the spindle out" in text
    assert "330 mm + (gap measured − 1 mm)" in text
    assert "Off at one wheel alone: its diameter, or its own positions" in text
    assert "SPINDLE AND COOLANT OFF. This program does not dress." in text
    assert "The machine and wheel makers' instructions, local codes and a qualified person" in text
    german = " ".join(sheet(build(*pack_bench.tables(), ("bench", "pack"), GAP_CHECK), "de").text.split())
    assert "Den Spalt mit Fühlerlehren messen" in german


def test_the_sheet_of_a_taper_tells_the_gap_before_and_after_bedding_in() -> None:
    # 1 mm · cos 10° = 0.985
    taper = {"wheel__taper": "10 deg", "stick__section": ["10 mm", "20 mm"], "dress__lanes": "one"}
    assert "0.98 – 1 mm ± 0.2 mm" in sheet(built(of_recipe=taper)).text


def test_lanes_of_different_lengths_have_no_gap_in_common() -> None:
    wide = {"stick__section": ["25 mm", "20 mm"], "dress__lanes": "next"}
    with pytest.raises(DressblockError, match="the lanes of a used stick differ in length"):
        built(of_recipe=wide, registers__next_lane=506)
