"""The program of a pack: worn-wheel sums by hand, order, mirror image, registers, and the outside judge."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from test_pack_end_face import packs

from changed import changed
from gen.base.errors import DressblockError
from gen.bounds import judge
from gen.bounds.all_states import EXPRESSION_TOLERANCE
from gen.bounds.readback import cases, read_cases, read_state
from gen.control.draft import Program
from gen.control.heading import Heading, read_heading
from gen.control.options import Options
from gen.plan.differences import differences
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Dwell, Move, Spindle, Step, Write
from gen.reader import lower, run
from gen.shop.dress import Dress
from judge import comparable
from judge import judge as outside
from pack_bench import MACHINE, RECIPE, Table, drafted, dress_of, judged, rules, wheel

PAIR = {
    "wheel": [
        wheel(("100 mm", "125 mm"), "10 mm", "40 mm"),
        wheel(("100 mm", "125 mm"), "10 mm", "90 mm", speed="3056 rpm"),
    ],
    "stick.section": ["10 mm", "20 mm"],
}


def plunges(steps: list[Step], ours: Dress) -> list[tuple[float, float, float]]:
    """Lateral position, spindle speed and plunge feed of every plunge: the second of two feed moves on end."""
    found, rpm = [], 0.0
    for before, step in itertools.pairwise(steps):
        if isinstance(before, Spindle):
            rpm = before.rpm
        if isinstance(before, Move) and isinstance(step, Move) and before.rate is not None and step.rate is not None:
            found.append((step.to["Z"], rpm, step.rate))
    return found


@pytest.mark.parametrize(
    ("size", "held", "fixed"),
    [
        # n = 60000 · 20 / (π D): 3055.8 and 3819.7; F = 10⁻⁶ · 250 · π · D · n in both
        ("125", (3056, 300.0), (3056, 300.0)),
        # the fixed speed: 10⁻⁶ · 250 · π · 100 · 3056 = 240.02
        ("100", (3820, 300.0), (3056, 240.0)),
    ],
)
def test_worn_wheels_by_hand(size: str, held: tuple[float, float], fixed: tuple[float, float]) -> None:
    program = drafted(PAIR)
    steps = at(program.plan, program.dress.state(sizes=[Decimal(size)] * 2))
    first, second = plunges(steps, program.dress)
    assert (first[:2], second[:2]) == ((40.0, held[0]), (90.0, fixed[0]))
    assert (first[2], second[2]) == pytest.approx((held[1], fixed[1]), abs=0.051)
    for (_, rpm, feed), wanted in zip((first, second), (250, 250), strict=True):
        # 10⁶ · v_f / v_s, with v_s = π D n in mm/min
        assert 1e6 * feed / (3.14159265 * float(size) * rpm) == pytest.approx(wanted, abs=0.1)


def test_each_wheel_has_its_own_target_speed_and_lanes() -> None:
    program = drafted()
    found = plunges(at(program.plan, program.dress.state()), program.dress)
    # 60000 · 20 / (π · 150) = 2546.5, 60000 · 20 / (π · 125) = 3055.8, 60000 · 18 / (π · 100) = 3437.7;
    # feeds 0.06 · 250 · 20 = 300, 0.06 · 220 · 20 = 264, 0.06 · 250 · 18 = 270, a little off as rpm are whole;
    # lanes of 10 on 16 mm 6 apart, of 6 on 16 mm 5 apart, stations of 16 on 20 mm 4 apart
    assert [place for place, _, _ in found] == [37, 43, 75, 80, 85, 123, 127]
    assert [rpm for _, rpm, _ in found] == [2546, 2546, 3056, 3056, 3056, 3438, 3438]
    assert [feed for _, _, feed in found] == pytest.approx([300, 300, 264, 264, 264, 270, 270], abs=0.11)


def test_a_shared_speed_is_told_once() -> None:
    shared = drafted({**PAIR, "wheel.1.speed": None, "dress.wheel_speed": None, "dress.speed": "3000 rpm"})
    steps = at(shared.plan, shared.dress.state())
    assert [step.rpm for step in steps if isinstance(step, Spindle) and step.direction != "off"] == [3000]
    own = drafted({**PAIR, "dress.wheel_speed": None, "dress.speed": "3000 rpm"})
    steps = at(own.plan, own.dress.state())
    turned = [index for index, step in enumerate(steps) if isinstance(step, Spindle) and step.direction != "off"]
    assert [steps[index] for index in turned] == [Spindle(0, 3000, "cw"), Spindle(0, 3056, "cw")]
    assert all(steps[index + 1] == Dwell(0, 3.0) for index in turned)


def test_the_slowest_marking_on_the_spindle_holds_for_all() -> None:
    # 30 m/s at 150 mm are 3819.7 rpm; the third wheel alone would be allowed 63 m/s at 100 mm, 12032 rpm
    ours = dress_of({"wheel.0.max_speed": "30 m/s"})
    assert [one.rpm_cap for one in ours.wheels] == [3819, 3819, 3819]
    assert "wheel-speed" in rules(judged({"wheel.0.max_speed": "30 m/s", "wheel.2.wheel_speed": "25 m/s"}))


def test_the_plunge_axis_is_parked_whenever_anything_else_moves() -> None:
    program = drafted()
    for state in program.dress.corners():
        place = None
        for step in at(program.plan, state):
            if isinstance(step, Move):
                assert step.axes == ("V",) or place == 0.0
                place = step.to["V"]


def test_the_rapid_stops_short_of_the_largest_wheel_everywhere() -> None:
    # 330 − (150 + 75) − 4 = 101
    program = drafted()
    steps = at(program.plan, program.dress.state(sizes=[Decimal(140), Decimal(115), Decimal(90)], length=Decimal(60)))
    rapids = [step.to["V"] for step in steps if isinstance(step, Move) and step.axes == ("V",) and step.rate is None]
    assert max(rapids) == 101


def test_nothing_is_said_against_the_pack_on_any_control() -> None:
    assert judged() == ()
    assert rules(judged(machine={"control": "hash-variables"})) == set()
    assert rules(judged(machine={"control": "iso6983", "registers": None})) == set()


# -- a mirrored pack


def mirrored(recipe: Table) -> Table:
    """The wheels on the other side of nought."""
    wheels = [{**one, "lateral": _negative(one["lateral"])} for one in recipe["wheel"]]
    return {**recipe, "wheel": wheels}


def _negative(text: str) -> str:
    return text[1:] if text.startswith("-") else f"-{text}"


def _other_side(text: str) -> str:
    def turned(match: re.Match[str]) -> str:
        value = -Decimal(match[1])
        return f"Z{value + 0 if value else abs(value)}"

    return re.sub(r"\bZ(-?[\d.]+)", turned, text)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(packs())
def test_a_mirrored_pack_gets_the_mirrored_program(pack: tuple[Table, Table]) -> None:
    recipe, machine = pack
    other = {"+": "-", "-": "+"}[machine["dresser.lateral_sign"]]
    ours = drafted(recipe, machine)
    theirs = drafted(mirrored(recipe), {**machine, "dresser.lateral_sign": other})
    own = re.compile(r"SEAL \w+|FROM [0-9A-F ]+")
    assert own.sub("", _other_side(ours.text)) == own.sub("", theirs.text)


def test_the_sign_decides_which_side_a_lane_is_on() -> None:
    changes = {"stick.section": ["40 mm", "20 mm"], "wheel.1.lanes": "one", "wheel.1.lane": "12 mm"}
    for sign, place in (("+", 92.0), ("-", 68.0)):
        program = drafted(changes, {"dresser.lateral_sign": sign})
        steps = at(program.plan, program.dress.state())
        assert place in [step.to["Z"] for step in steps if isinstance(step, Move) and step.axes == ("Z",)]


# -- registers and states


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(packs(), st.sampled_from(("rs274ngc", "hash-variables")), st.data())
def test_a_pack_s_program_reads_as_planned(pack: tuple[Table, Table], control: str, data: st.DataObject) -> None:
    recipe, machine = pack
    program = drafted(recipe, {**machine, "control": control})
    low, high = program.dress.length_range
    assume(low <= high)
    lowered = lower(program.text, program.dialect.control)
    for _ in range(2):
        sizes = [data.draw(st.integers(int(worn), int(new))) for worn, new in program.dress.sizes.values()]
        length = data.draw(st.sampled_from((low, high)))
        state = program.dress.state(sizes=[Decimal(size) for size in sizes], length=length)
        reading = run(lowered, read_state(program, state), registers=set(program.plan.registers.values()))
        assert differences(at(program.plan, state), reading.steps, tolerance=EXPRESSION_TOLERANCE) == []
        assert reading.unread == []


def test_every_wheel_has_guards_of_its_own() -> None:
    program = drafted()
    good = program.dress.state()
    for name, (low, high) in program.dress.sizes.items():
        for value in (float(low) - 0.01, float(high) + 0.01, 0.0):
            steps = at(program.plan, good.having(**{name: value}))
            assert [step.op for step in steps if step.op in ("spindle", "coolant", "write")] == [], name
    assert program.plan.registers == {
        "wheel_diameter_1": 501, "wheel_diameter_2": 511, "wheel_diameter_3": 512,
        "stick_length": 502, "parts_since_dress": 503, "in_progress": 504,
    }  # fmt: skip


def test_a_missing_guard_is_found() -> None:
    program = drafted()
    planted = replace(program, text=program.text.replace("if [#511 GE 115]", "if [#511 GE 0]"))
    assert "accept-only" in rules(judge(read_cases(planted)).findings)


@pytest.mark.parametrize(
    ("before", "after", "rule"),
    [
        ("#502 = [#591-3] (stick length)", "#502 = [#591] (stick length)", "register-order"),
        ("G53 G0 Z75", "G53 G0 Z78", "approach-path"),
        ("G53 G0 Z75", "G53 G0 Z54", "neighbour"),
        ("#590 = [#511] (wheel diameter 2)", "#590 = [#501] (wheel diameter 2)", "plunge-depth"),
        ("G53 G0 Z123\nM3 S#592\nG4 P3", "G53 G0 Z123\nM3 S#592", "spindle-running"),
        ("G53 G0 Z123\nM3 S#592", "G53 G0 Z123", "spindle-running"),
    ],
)
def test_planted_faults(before: str, after: str, rule: str) -> None:
    program = drafted()
    assert before in program.text
    assert rule in rules(judge(read_cases(replace(program, text=program.text.replace(before, after, 1)))).findings)


def test_numbers_are_right_for_the_state_that_the_heading_names() -> None:
    options = Options(resolve=True, diameters=(Decimal(145), Decimal(120), Decimal(95)), length=Decimal(100))
    program = drafted(options=options)
    heading = read_heading([line.strip("()") for line in program.text.splitlines()])
    assert isinstance(heading, Heading)
    assert heading.state == {
        "wheel_diameter_1": 145, "wheel_diameter_2": 120, "wheel_diameter_3": 95, "stick_length": 100
    }  # fmt: skip
    assert rules(judge(cases(program)).findings) == set()


@pytest.mark.parametrize("diameters", [(145,), (145, 120), (145, 120, 95, 90)])
def test_the_number_of_diameters_must_fit(diameters: tuple[int, ...]) -> None:
    with pytest.raises(DressblockError, match="this recipe has 3 wheels; give --wheel-diameter 3 times"):
        drafted(options=Options(resolve=True, diameters=tuple(Decimal(size) for size in diameters)))


def test_one_wheel_in_a_list_is_that_wheel() -> None:
    alone: Any = {"wheel": [RECIPE["wheel"][0]]}
    listed, plain = drafted(alone), drafted({"wheel": RECIPE["wheel"][0]})
    assert listed.text == plain.text
    assert "#501" in listed.text
    assert changed(MACHINE, {})["registers"]["wheel_diameter"][0] == 501


# -- the outside judge


def verdict(program: Program, state: State) -> list[str]:
    """Where rs274 and the plan part; it has no V, so that Y stands for it."""
    numbers = {int(program.plan.registers[name]): value for name, value in state.values.items()}
    ruling = outside(program.text, registers=numbers, saved=numbers, letters={"V": "Y"})
    planned = at(program.plan, state)
    ours = comparable(planned)
    assert len(ruling.steps) == len(ours)
    theirs = [_known(step, other) for step, other in zip(ours, ruling.steps, strict=True)]
    parted = differences(ours, theirs, tolerance=0.0005)
    written = {step.register: step.value for step in planned if isinstance(step, Write)}
    parted += [f"{number}" for number, value in written.items() if abs(ruling.parameters[int(number)] - value) > 1e-5]
    return [*parted, *([ruling.error] if ruling.error else [])]


def _known(ours: Step, theirs: Step) -> Step:
    """The judge's move with the axes whose position the plan knows; the judge knows all of its own."""
    if isinstance(ours, Move) and isinstance(theirs, Move):
        return theirs._replace(to={axis: theirs.to[axis] for axis in ours.to})
    return theirs


@pytest.mark.parametrize(
    "recipe",
    [
        {},
        PAIR,
        {"stick.section": ["40 mm", "20 mm"], "dress.lanes": "one", "wheel.1.lane": "12 mm", "wheel.2.lane": "-9.5 mm",
         "dress.plunges": 2},
        {"stick.section": ["60 mm", "20 mm"], "dress.lanes": "one", "wheel.0.lane": "-22 mm", "wheel.1.taper": "15 deg",
         "wheel.2.lane": "19 mm"},
        {"wheel.1.at": {"X": "0 mm"}, "wheel.1.via": [{"X": "30 mm", "Z": "-20 mm"}], "wheel.2.via": [{"X": "10 mm"}]},
    ],
)  # fmt: skip
def test_rs274_does_what_the_plan_says(recipe: Table) -> None:
    program = drafted(recipe)
    states = list(program.dress.corners())
    assert len(states) >= 6
    for state in states[:: max(1, len(states) // 8)]:
        assert verdict(program, state) == []
