"""Wheels with positions of their own, and points to pass on the way to them, on every control.

What is due is written down by hand here, from the recipe alone: the points in their order on the way in, the wheel's
positions in place of the machine's, the lane, and the same way backwards on the way out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import feeder_bench
from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.bounds.build import build
from gen.bounds.judge import judge
from gen.bounds.readback import read_cases, read_state
from gen.control.draft import Program
from gen.control.options import Options
from gen.paper.sheet import sheet
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Move, Step
from gen.reader import lower, run
from gen.shop.agreement import cross_check
from gen.shop.edition import Purpose
from pack_bench import RECIPE, Table, drafted, judged, rules, tables

VIA = [{"X": "30 mm", "Z": "-20 mm"}, {"X": "10 mm"}]
ONE: Table = {"wheel": [{**RECIPE["wheel"][0], "via": VIA}]}
OWN: Table = {"wheel.1.at": {"X": "0 mm"}, "wheel.1.via": VIA}

CONTROLS: dict[str, Table] = {
    "rs274ngc": {},
    "hash-variables": {"control": "hash-variables"},
    "r-variables": {"control": "r-variables"},
    "iso6983": {"control": "iso6983", "registers": None},
}


def beside(recipe: Table, machine: Table | None = None, options: Options | None = None) -> list[tuple[str, float]]:
    """The moves of the axes beside the plunge axis, each with where it goes, with all new."""
    program = drafted(recipe, machine, options)
    moves = [step for step in at(program.plan, program.dress.state()) if isinstance(step, Move)]
    assert all(len(move.axes) == 1 and (move.axes == ("V",) or move.to["V"] == 0) for move in moves)
    return [(axis, move.to[axis]) for move in moves if (axis := move.axes[0]) != "V"]


@pytest.mark.parametrize("control", CONTROLS)
def test_a_single_wheel_goes_in_by_its_points_and_backwards_out(control: str) -> None:
    # lanes at 40 ∓ 3 for a stick of 16 mm on 10 mm; X goes on from its last point to the machine's 20 mm
    inward = [("X", 30), ("Z", -20), ("X", 10), ("X", 20), ("Z", 37), ("Z", 43)]
    outward = [("Z", -20), ("X", 10), ("X", 30)]
    assert beside(ONE, CONTROLS[control]) == [*inward, *outward]
    assert beside(ONE, CONTROLS[control], Options(purpose="prove-out")) == [*inward, *outward]
    assert rules(judged(ONE, CONTROLS[control])) == set()


@pytest.mark.parametrize("control", CONTROLS)
def test_a_wheel_of_a_pack_with_its_own_position_and_points(control: str) -> None:
    assert beside(OWN, CONTROLS[control]) == [
        ("X", 20), ("Z", 37), ("Z", 43),
        ("X", 30), ("Z", -20), ("X", 10), ("X", 0), ("Z", 75), ("Z", 80), ("Z", 85),
        ("Z", -20), ("X", 10), ("X", 30), ("X", 20), ("Z", 123), ("Z", 127),
    ]  # fmt: skip
    found = judged(OWN, CONTROLS[control])
    assert rules(found) == set()
    (said,) = (one for one in found if one.rule == "neighbour")
    assert (said.severity, said.certainty) == ("warning", "unproven")
    assert "wheel 1 is dressed with X elsewhere than wheel 2" in said.message


def test_wheels_with_the_same_way_are_reached_without_going_out_in_between() -> None:
    shared = {f"wheel.{number}.via": VIA for number in range(3)}
    assert beside(shared) == [
        ("X", 30), ("Z", -20), ("X", 10), ("X", 20), ("Z", 37), ("Z", 43), ("Z", 75), ("Z", 80), ("Z", 85),
        ("Z", 123), ("Z", 127), ("Z", -20), ("X", 10), ("X", 30),
    ]  # fmt: skip
    assert judged(shared) == ()


def test_an_axis_that_no_point_names_stays_on_the_way_out() -> None:
    alone = {"wheel": [{**RECIPE["wheel"][0], "via": [{"X": "30 mm"}]}]}
    assert beside(alone) == [("X", 30), ("X", 20), ("Z", 37), ("Z", 43), ("X", 30)]


def test_one_axis_at_a_time_and_degrees_on_an_axis_that_turns() -> None:
    turns = {"axes.B": {"travel": ["0 deg", "90 deg"], "max_feed": "900 deg/min", "max_rapid": "3600 deg/min"}}
    alone = {"wheel": [{**RECIPE["wheel"][0], "at": {"B": "45 deg"}, "via": [{"B": "10 deg"}]}]}
    inch = {**turns, "units": "inch"}
    for machine in (turns, inch):
        found = beside(alone, machine)
        assert [place for axis, place in found if axis == "B"] == [10, 45, 10]
    assert "B 45°" in sheet(build(*tables(alone, turns), ("bench", "pack"))).text


def test_the_state_s_registers_do_not_change_the_way() -> None:
    program = drafted(OWN)
    ways = set()
    for state in program.dress.corners():
        moves = [step for step in at(program.plan, state) if isinstance(step, Move) and step.axes != ("V",)]
        ways.add(tuple((move.axes[0], move.to[move.axes[0]]) for move in moves))
    assert len(ways) == 1


def planted(before: str, after: str, recipe: Table) -> tuple[Finding, ...]:
    program = drafted(recipe)
    assert before in program.text
    return judge(read_cases(replace(program, text=program.text.replace(before, after, 1)))).findings


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ("G53 G0 X30\nG53 G0 Z-20", "G53 G0 Z-20\nG53 G0 X30", "axis Z moves where axis X is due"),
        ("G53 G0 X10\nG53 G0 X20", "G53 G0 X12\nG53 G0 X20", "axis X goes to 12 mm before the first plunge, where 10"),
        ("G53 G0 X10\nG53 G0 X20", "G53 G0 X20", "axis X goes to 20 mm before the first plunge, where 10 mm is due"),
        ("G53 G0 Z-20\nG53 G0 X10\nG53 G0 X30", "G53 G0 X10\nG53 G0 X30", "axis X moves where axis Z is due"),
        ("G53 G0 Z-20\nG53 G0 X10\nG53 G0 X30", "G53 G0 Z-20\nG53 G0 X10", "the block ends before axis X has gone out"),
        ("G53 G0 Z-20\nG53 G0 X10\nG53 G0 X30", "G53 G0 Z-20 X30", "axes Z, X move together"),
    ],
)
def test_a_way_that_was_changed_is_found(before: str, after: str, sentence: str) -> None:
    said = [found.message for found in planted(before, after, ONE) if found.rule == "approach-path"]
    assert any(sentence in message for message in said), said


def test_between_wheels_the_way_is_held_too() -> None:
    between = "G53 G0 X30\nG53 G0 Z-20\nG53 G0 X10\nG53 G0 X0\n"
    said = [found.message for found in planted(between, "G53 G0 X0\n", OWN) if found.rule == "approach-path"]
    assert any("before axis" in message or "is due" in message for message in said), said
    wrong = planted("G53 G0 X0\n", "G53 G0 X5\n", OWN)
    assert any("axis X stands at 5 mm" in found.message for found in wrong), wrong


def test_a_point_beyond_the_travel_is_found() -> None:
    far = {"wheel": [{**RECIPE["wheel"][0], "via": [{"X": "60 mm"}]}]}
    found = [one.message for one in judged(far) if one.rule == "axis-travel"]
    assert any("axis X would go to 60 mm, and its travel ends at 50 mm" in message for message in found)


def test_a_plunge_at_another_wheel_s_position_is_not_taken_for_this_one() -> None:
    """With X where wheel 1 has it, wheel 2's datum does not hold: the block no longer meets wheel 2."""
    found = planted("G53 G0 X0\n", "G53 G0 X20\n", OWN)
    assert "approach-path" in rules(found)


@pytest.mark.parametrize(
    ("recipe", "sentence"),
    [
        ({"wheel.1.at": {"Y": "2 mm"}}, "wheel[1].at.Y: axis Y is not described"),
        ({"wheel.1.via": [{"V": "2 mm"}]}, "wheel[1].via[0].V: this axis plunges and stays parked"),
        ({"wheel.1.at": {"Z": "2 mm"}}, "wheel[1].at.Z: this is the lateral axis"),
    ],
)
def test_what_a_way_may_not_name(recipe: Table, sentence: str) -> None:
    with pytest.raises(DressblockError) as caught:
        cross_check(*tables(recipe))
    assert sentence in str(caught.value)


def test_wheels_elsewhere_may_have_the_same_lateral_place() -> None:
    """Whether they overlap there nobody knows, and the neighbour's warning says so."""
    same: dict[str, Any] = {"wheel.1.lateral": "40 mm", "wheel.1.at": {"X": "0 mm"}}
    cross_check(*tables(same))
    assert "neighbour" in {found.rule for found in judged(same)}


def test_the_sheet_tells_the_way() -> None:
    text = " ".join(sheet(build(*tables(ONE), ("bench", "pack"))).text.split())
    assert "Way in by X 30 mm, Z −20 mm; then X 10 mm; the way out is the same, backwards" in text
    assert "Z rapid to −20 mm, then X rapid to 10 mm, then X rapid to 30 mm" in text
    assert "bring the other axes out by hand" in text
    pack = " ".join(sheet(build(*tables(OWN), ("bench", "pack"))).text.split())
    assert "lateral 75 mm, 80 mm, 85 mm; at X 0 mm; via X 30 mm, Z −20 mm; then X 10 mm" in pack


def read(program: Program, state: State) -> Sequence[Step]:
    """The steps of ``program`` at ``state``, as the reader reads them."""
    lowered = lower(program.text, program.dialect.control)
    return run(lowered, read_state(program, state), registers=set(program.plan.registers.values())).steps


points = st.lists(
    st.dictionaries(st.sampled_from("XZY"), st.integers(-40, 40), min_size=1, max_size=3), min_size=0, max_size=3
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.tuples(points, st.integers(-40, 40) | st.none()), min_size=3, max_size=3),
    st.sampled_from(sorted(CONTROLS)),
)
def test_any_way_is_the_points_in_order_and_backwards(
    ways: list[tuple[list[dict[str, int]], int | None]], control: str
) -> None:
    """Against a walk that makes every move, those that move nothing too: both pass the same places in turn."""
    recipe: Table = {"stick.section": ["6 mm", "20 mm"], "dress.lanes": "one"}
    walked: list[dict[str, float]] = [{}]

    def go(axis: str, place: float | None) -> None:
        if place is not None and walked[-1].get(axis) != place:
            walked.append({**walked[-1], axis: place})

    before: object = None
    leave: list[tuple[str, float | None]] = []
    for number, (via, own) in enumerate(ways):
        recipe[f"wheel.{number}.via"] = [{axis: f"{place} mm" for axis, place in point.items()} for point in via]
        recipe[f"wheel.{number}.at"] = {} if own is None else {"X": f"{own} mm"}
        lateral = float(RECIPE["wheel"][number]["lateral"].split()[0])
        if before != (via, 20 if own is None else own):
            for axis, place in leave:
                go(axis, place)
            here: dict[str, float] = {}
            leave = []
            way = [*(move for point in via for move in point.items()), ("X", 20 if own is None else own)]
            for axis, place in [*way, ("Z", lateral)]:
                leave.insert(0, (axis, here.get(axis)))
                here[axis] = place
                go(axis, place)
            leave = leave if via else []
        go("Z", lateral)
        before = (via, 20 if own is None else own)
    for axis, place in leave:
        go(axis, place)
    machine = {
        **CONTROLS[control],
        "axes.Y": {"travel": ["-50 mm", "50 mm"], "max_feed": "2 m/min", "max_rapid": "8 m/min"},
    }
    program = drafted(recipe, machine)
    for state in (program.dress.state(), *list(program.dress.corners())[:1]):
        passed: list[dict[str, float]] = [{}]
        for step in read(program, state):
            if isinstance(step, Move) and step.axes != ("V",):
                stands = {axis: step.to[axis] for axis in "XYZ" if axis in step.to}
                if stands != passed[-1]:
                    passed.append(stands)
        assert passed == walked


@pytest.mark.parametrize("purpose", ["dress", "prove-out"])
def test_a_timed_feeder_s_wheel_has_a_way_too(purpose: Purpose) -> None:
    via = {"wheel.via": [{"X": "200 mm", "Z": "5 mm"}], "wheel.at": {"X": "150 mm"}}
    program = build(feeder_bench.recipe(via), feeder_bench.machine(), ("b", "o"), Options(purpose=purpose))
    moves = [step for step in at(program.plan, program.dress.state()) if isinstance(step, Move)]
    found = [(move.axes[0], move.to[move.axes[0]]) for move in moves]
    assert found == [("X", 200), ("Z", 5), ("X", 150), ("Z", 42.5), ("Z", 5), ("X", 200)]
    assert rules(program.findings) == set()


@pytest.mark.parametrize("purpose", ["dress", "prove-out"])
def test_a_slide_with_a_stand_off_has_one(purpose: Purpose) -> None:
    slide = {"dresser.motion": "incremental", "dresser.stand_off": "4 mm", "dresser.datum": None,
             "dresser.parked": "20 mm", "registers": None}  # fmt: skip
    program = build(*tables(ONE, slide), ("bench", "pack"), Options(purpose=purpose))
    moves = [step for step in at(program.plan, program.dress.state()) if isinstance(step, Move)]
    found = [(move.axes[0], move.to[move.axes[0]]) for move in moves if move.axes != ("V",)]
    assert found[:5] == [("X", 30), ("Z", -20), ("X", 10), ("X", 20), ("Z", 37)]
    assert found[-3:] == [("Z", -20), ("X", 10), ("X", 30)]
    assert rules(program.findings) == set()
