"""One lane a dress, the next one each time: what each dress does, what it writes, and what it refuses.

Positions and lengths are worked out here from widths, depths and the datum (geometry), not by the package.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from controls import mixed
from gen.base.errors import DressblockError
from gen.bounds.judge import judge
from gen.bounds.readback import read_cases
from gen.bounds.states import refused_states
from gen.control.draft import Program
from gen.plan.step import Move, Refuse, Write
from gen.reader import Reading, ReadState, lower, run
from lanes import bench
from lanes.bench import DEPTH, DIAMETER, FIRST, FLAG, LANE, LANES, LENGTH, PARTS, PLUNGES

CONTROLS = ("rs274ngc", "hash-variables", "r-variables", mixed.NAME)


@pytest.fixture(scope="module", params=CONTROLS)
def program(request: pytest.FixtureRequest, folder: Path) -> Program:
    return bench.program(request.param, folder)


def read(program: Program, **registers: float) -> Reading:
    """What the text does, read by registers alone; ``registers`` by name, all else new."""
    held = {DIAMETER: 125.0, LENGTH: 150.0, PARTS: 0.0, LANE: 1.0, FLAG: 0.0}
    names = {"diameter": DIAMETER, "length": LENGTH, "lane": LANE, "flag": FLAG}
    held |= {names[name]: value for name, value in registers.items()}
    state = ReadState(registers={number: value for number, value in held.items() if value == value})
    return run(lower(program.text, program.dialect.control), state, registers=set(held))


def laterals(reading: Reading) -> list[float]:
    """Where the lateral axis goes, in order."""
    return [step.to["Z"] for step in reading.steps if isinstance(step, Move) and step.axes == ("Z",)]


def place(lane: int, sign: int = 1) -> float:
    return bench.CENTRE + sign * (FIRST + bench.PITCH * lane)


def test_it_is_written_and_proven_at_all_states(program: Program) -> None:
    assert [found.rule for found in program.findings if found.rule != "override"] == []


@pytest.mark.parametrize("number", range(1, 2 * LANES + 1))
@pytest.mark.parametrize(("diameter", "length"), [(125.0, 150.0), (100.0, 34.0), (111.37, 90.5)])
def test_each_dress_visits_its_lane_and_counts_on(
    program: Program, number: int, diameter: float, length: float
) -> None:
    reading = read(program, lane=float(number), diameter=diameter, length=length)
    lane = number - 1 if number <= LANES else 2 * LANES - number
    assert laterals(reading) == pytest.approx([place(lane)], abs=1e-6)
    # contact is rounded away from the wheel, to the step that the program writes
    contact = bench.DATUM - length - diameter / 2
    deepest = [step.to["U"] for step in reading.steps if isinstance(step, Move) and step.op == "feed"][1::2]
    assert deepest == pytest.approx([contact + DEPTH, contact + 2 * DEPTH], abs=0.001)
    written = [(step.register, step.value) for step in reading.steps if isinstance(step, Write)]
    shorter = [(LENGTH, pytest.approx(length - PLUNGES * DEPTH))] if number % LANES == 0 else []
    next_one = (LANE, float(number % (2 * LANES) + 1))
    assert written == [(FLAG, 1.0), (PARTS, 0.0), *shorter, next_one, (FLAG, 0.0)]


@pytest.mark.parametrize("number", [0.0, -1.0, 0.5, 1.5, 11.999, 12.5, 13.0, 1e6, float("nan")])
def test_only_whole_lanes_in_range_are_accepted(program: Program, number: float) -> None:
    reading = read(program, lane=number)
    assert reading.end == "refused"
    assert "NEXT LANE" in next(step.message for step in reading.steps if isinstance(step, Refuse))
    assert {step.axes for step in reading.steps if isinstance(step, Move)} == {("U",)}


def test_every_state_to_refuse_is_refused(program: Program) -> None:
    assert any(state.values.get("next_lane") == 1.5 for state in refused_states(program))
    assert [found for found in judge(read_cases(program)).findings if found.severity == "error"] == []


EDITS = {
    "the length falls too far": (r"^(.*502-)4", r"\g<1>6"),
    "another last lane": (r"^(.*505 ?(?:EQ|==) ?)6\b", r"\g<1>5"),
    "back from another lane": (r"^(.*595 ?(?:GT|>) ?)6\b", r"\g<1>5"),
    "back to the wrong lane": (r"^(.*)13-", r"\g<1>12-"),
    "other pitch": (r"^(.*595\*)2\b", r"\g<1>2.1"),
    "no step": (r"^(\S*595 ?= ?\[?\S+)\+1", r"\g<1>+2"),
    "one turn too many": (r"^(.*595 ?(?:GT|>) ?)12\b", r"\g<1>13"),
    "fractions are accepted": (r"^(.*505 ?(?:EQ|==) ?)(?:FIX|TRUNC).505.*?[\])]", r"\g<1>[#505]"),
    "above is accepted": (r"^(.*505 ?(?:LE|<=) ?)12\b", r"\g<1>14"),
    "never counted": (r"^\S*505 ?= ?\[?\S*595.*$", ""),
}


@pytest.mark.parametrize("name", EDITS)
@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables"])
def test_an_edit_by_hand_is_found(control: str, name: str, folder: Path) -> None:
    program = bench.program(control, folder)
    old, new = EDITS[name]
    text = re.sub(old, new, program.text.replace("[#505]", "#505"), count=1, flags=re.MULTILINE)
    assert text != program.text.replace("[#505]", "#505")
    found = judge(read_cases(replace(program, text=text))).findings
    assert {one.rule for one in found if one.severity == "error"} - {"altered"}, name


REFUSED: dict[str, tuple[dict[str, Any], dict[str, Any], str, str]] = {
    "no register": ({"registers.next_lane": None}, {}, "dress.lanes", "add next_lane to [registers]"),
    "no registers": ({"registers": None}, {}, "dress.lanes", "add next_lane to [registers]"),
    "one lane": ({}, {"stick.section": ["3 mm", "20 mm"]}, "dress.lanes", "there is one lane"),
    "stations": ({}, {"stick.section": ["2 mm", "20 mm"]}, "dress.lanes", "a part of the wheel"),
    "rapid as far as the registers say": ({"dresser.approach": "state"}, {}, "dress.lanes", 'approach = "envelope"'),
    "no lateral axis": ({"dresser.lateral_axis": None}, {"wheel.lateral": None}, "dress.lanes", "lateral_axis"),
    "tapered": ({}, {"wheel.taper": "5 deg"}, "dress.lanes", "tapered"),
    "inclined": ({"dresser.inclination": "5 deg"}, {}, "stick.section", "inclined"),
    "after truing": ({}, {"dress.after_truing": {"plunges": 3}}, "dress.after_truing", "same depth"),
    "overlap": ({}, {"dress.overlap": "3 mm"}, "dress.overlap", "never move on"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_counted_is_refused(name: str, folder: Path) -> None:
    machine, recipe, key, said = REFUSED[name]
    with pytest.raises(DressblockError) as caught:
        bench.program("rs274ngc", folder, machine=machine, recipe=recipe)
    assert any(problem.key == key and said in problem.sentence for problem in caught.value.problems), str(caught.value)


def test_numbers_worked_out_once_are_refused(folder: Path) -> None:
    with pytest.raises(DressblockError, match="the same lane each time"):
        bench.program("rs274ngc", folder, resolve=True)


def test_the_same_opening_after_truing_is_no_matter(folder: Path) -> None:
    recipe = {"dress.after_truing": {"plunge": "4 mm", "plunges": 1, "aggressiveness": 280}}
    assert bench.program("rs274ngc", folder, recipe=recipe, after_truing=True).accepted


def test_a_dress_too_deep_for_the_last_lane_is_refused_with_what_fits(folder: Path) -> None:
    """The last lane is 2 mm wide, so that 4 mm stand beside it at most; two plunges of 3 mm are 6 mm."""
    found = bench.program("rs274ngc", folder, recipe={"dress.plunge": "3 mm"}).findings
    (shoulder,) = [one for one in found if one.rule == "shoulder"]
    assert "6 mm deep" in shoulder.message
    assert "4 mm" in shoulder.message
    assert [change.value for change in shoulder.changes] == ["2 mm"]


def test_a_stick_too_short_for_a_dress_is_refused_with_what_fits(folder: Path) -> None:
    # two plunges of 2 mm, and 30 mm must be left
    short = bench.program("rs274ngc", folder, recipe={"stick.length": "33 mm"})
    assert not short.accepted
    assert {found.rule for found in short.findings} == {"stick-length"}
    assert "a new stick of 33 mm less 4 mm a dress leaves 29 mm" in short.findings[0].message
    fits = next(change for change in short.findings[0].changes if change.key == "stick.length")
    assert bench.program("rs274ngc", folder, recipe={"stick.length": fits.value}).accepted


def test_lanes_are_counted_against_the_axis_too(folder: Path) -> None:
    program = bench.program("rs274ngc", folder, machine={"dresser.lateral_sign": "-"})
    assert program.accepted
    for number in range(1, LANES + 1):
        assert laterals(read(program, lane=float(number))) == pytest.approx([place(number - 1, -1)], abs=1e-6)


def test_a_prove_out_shows_every_lane_and_writes_nothing(folder: Path) -> None:
    program = bench.program("rs274ngc", folder, purpose="prove-out")
    assert program.accepted
    reading = read(program, lane=3.0)
    assert not any(isinstance(step, Write) for step in reading.steps)
    assert sorted(set(laterals(reading))) == [place(lane) for lane in range(LANES)]


def test_inch_registers_and_inch_programs(folder: Path) -> None:
    program = bench.program("rs274ngc", folder, machine={"registers.units": "inch", "units": "inch"})
    assert program.accepted
    reading = read(program, lane=6.0, length=150 / 25.4, diameter=125 / 25.4)
    lengths = [step.value * 25.4 for step in reading.steps if isinstance(step, Write) and step.register == LENGTH]
    assert lengths == pytest.approx([146], abs=0.003)  # twice 0.0787 in for 2 mm
