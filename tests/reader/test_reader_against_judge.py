"""Hand-written programs that use RS274/NGC hard, read here and run by the outside judge."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from gen.control.folders import load_control
from gen.plan.differences import differences
from gen.plan.step import Move, Refuse, Register, Write
from gen.reader import ReadState, read
from judge import ORIGIN, TOLERANCE, comparable, judge

PROGRAMS = sorted((Path(__file__).parent / "programs").glob("*.ngc"))
HOMES = dict.fromkeys([*range(5161, 5170), *range(5181, 5190)], 0.0) | {5161: 11.0, 5163: 13.0, 5181: 21.0, 5182: 22.0}
INCHES = {number: value / 25.4 for number, value in HOMES.items()}
"""The judge's machine counts in inches, whatever the program does."""

START = ReadState(positions=ORIGIN, registers=dict(HOMES))


@pytest.mark.parametrize("program", PROGRAMS, ids=lambda path: path.stem)
def test_every_step_is_the_judges(program: Path) -> None:
    text = program.read_text()
    verdict = judge(text, registers=INCHES)
    reading = read(text, load_control("rs274ngc"), START)
    assert verdict.error == ""
    assert len(verdict.steps) >= 10
    assert differences(comparable(reading.steps), verdict.steps, tolerance=TOLERANCE) == []
    assert reading.unread == []


def test_arcs_reach_as_far_as_the_judges_centres_say() -> None:
    """The judge's centre, walked round in small steps, gives the extremes without our arc code."""
    text = (Path(__file__).parent / "programs" / "arcs.ngc").read_text()
    verdict = judge(text, registers=INCHES)
    ours = comparable(read(text, load_control("rs274ngc"), START).steps)
    planes = _planes(text)
    at = dict(ORIGIN)
    seen = 0
    for index, (step, theirs) in enumerate(zip(ours, verdict.steps, strict=True)):
        if isinstance(step, Move) and step.op == "arc":
            assert step.span is not None
            first, second, clockwise = planes[step.line]
            walked = _walk(at, theirs, verdict.arcs[index], first, second, clockwise)
            for axis, (low, high) in walked.items():
                assert step.span[axis] == pytest.approx((low, high), abs=0.01)
            seen += 1
        if isinstance(theirs, Move):
            at = dict(theirs.to)
    assert seen == len(verdict.arcs) >= 20


def _planes(text: str) -> dict[int, tuple[str, str, bool]]:
    """Plane and sense of each line, from the words as they stand in this one program."""
    plane, clockwise, found = ("X", "Y"), True, {}
    for number, line in enumerate(text.splitlines(), 1):
        words = line.split()
        for word, axes in (("G17", ("X", "Y")), ("G18", ("Z", "X")), ("G19", ("Y", "Z"))):
            plane = axes if word in words else plane
        clockwise = True if "G2" in words else False if "G3" in words else clockwise
        found[number] = (*plane, clockwise)
    return found


def _walk(
    start: dict[str, float], step: object, centre: tuple[float, float], first: str, second: str, clockwise: bool
) -> dict[str, tuple[float, float]]:
    assert isinstance(step, Move)
    begin = math.atan2(start[second] - centre[1], start[first] - centre[0])
    end = math.atan2(step.to[second] - centre[1], step.to[first] - centre[0])
    radius = math.hypot(start[first] - centre[0], start[second] - centre[1])
    turn = (begin - end if clockwise else end - begin) % math.tau
    if math.hypot(start[first] - step.to[first], start[second] - step.to[second]) < 1e-3:
        turn = math.tau
    sign = -1 if clockwise else 1
    angles = [begin + sign * turn * part / 20000 for part in range(20001)]
    along = [centre[0] + radius * math.cos(angle) for angle in angles]
    across = [centre[1] + radius * math.sin(angle) for angle in angles]
    return {first: (min(along), max(along)), second: (min(across), max(across))}


def test_parameters_come_back_as_the_judge_saves_them() -> None:
    text = (Path(__file__).parent / "programs" / "parameters.ngc").read_text()
    numbers = [*range(1, 31), 500, 501]
    verdict = judge(text, saved=numbers)
    written: dict[object, float] = {}
    for step in read(text, load_control("rs274ngc"), START).steps:
        if isinstance(step, Write):
            written[step.register] = step.value
    assert {number: written.get(number, 0.0) for number in numbers} == pytest.approx(
        {number: verdict.parameters[number] for number in numbers}, abs=1e-6
    )
    assert written[501] == 25.0


def test_registers_given_beforehand_are_what_the_program_sees() -> None:
    text = "G21 G90 G94 G17\nG0 X[#501 + #502] Y#503\n#501=[#501 - 8]\nM2\n"
    registers: dict[Register, float | None] = {501: 125.0, 502: 0.25}
    verdict = judge(text, registers={501: 125.0, 502: 0.25}, saved=[501, 502, 503])
    reading = read(text, load_control("rs274ngc"), ReadState(positions=ORIGIN, registers=registers))
    assert differences(comparable(reading.steps), verdict.steps, tolerance=TOLERANCE) == []
    assert verdict.parameters[501] == 117.0
    assert [step for step in reading.steps if isinstance(step, Write)] == [Write(3, 501, 117.0)]


def test_block_delete_takes_lines_out() -> None:
    text = "G21 G90 G94 G17\n/G0 X1\n/ N20 G0 Y1\nG0 Z1\nM2\n"
    for switch in (False, True):
        verdict = judge(text, block_delete=switch)
        reading = read(text, load_control("rs274ngc"), ReadState(positions=ORIGIN, block_delete=switch))
        assert differences(comparable(reading.steps), verdict.steps, tolerance=TOLERANCE) == []
        assert len(verdict.steps) == (2 if switch else 4)


def test_a_message_before_the_end_is_a_refusal() -> None:
    text = "G21\no1 if [#501 LT 1]\n(MSG, measure the stick)\nM2\no1 endif\nG0 X1\nM2\n"
    verdict = judge(text)
    reading = read(text, load_control("rs274ngc"), ReadState(positions=ORIGIN))
    assert differences(reading.steps, verdict.steps) == []
    assert reading.steps[0] == Refuse(3, "measure the stick")
    assert reading.end == "refused"


def test_letters_the_judge_lacks_are_mapped_there_and_back() -> None:
    text = "G21 G90 G94 G17 (U AND V STAY)\nG0 U1 Z2\nG1 U[1+2] F60\nM2\n"
    verdict = judge(text, letters={"U": "X"})
    moves = [step for step in verdict.steps if isinstance(step, Move)]
    assert [move.to["U"] for move in moves] == [1.0, 3.0]
    assert verdict.error == ""


@pytest.mark.parametrize(
    "text",
    [
        "G10 L20 P1 X10 Y5\nG0 X3 Y3",
        "G92 X5\nG10 L20 P2 X10\nG0 X3\nG55 G0 X3",
        "G92 X5 Y3\nG52 X3\nG0 X1 Y1\nG52 X0\nG0 X1",
        "G52 X3\nG92.2\nG0 X1\nG92.3\nG0 X1",
        "G0 X5 Y6\nG28.1 X4\nG0 X1\nG28\nG30.1\nG0 Y9\nG30 X2",
        "M62 P1\nM64 P0\nM66 P1 L0\nM67 E1 Q2\nG0 X[#<_x>+#<_metric>]",
    ],
)
def test_offsets_homes_and_outputs_are_as_the_judge_has_them(text: str) -> None:
    program = f"G21 G90 G94 G17\nG0 X1 Y2\n{text}\nM2\n"
    verdict = judge(program)
    reading = read(program, load_control("rs274ngc"), ReadState(positions=ORIGIN))
    assert verdict.error == ""
    assert reading.unread == []
    assert reading.unmodelled == []
    ours = [step.to for step in reading.steps if isinstance(step, Move)]
    theirs = [step.to for step in verdict.steps if isinstance(step, Move)]
    assert ours[-1] == pytest.approx(theirs[-1], abs=TOLERANCE)
    assert [one for one in ours if one != ours[-1]][-1:] == [pytest.approx(theirs[-2], abs=TOLERANCE)]
