"""What a control refuses, and what nobody can know, is never read as if it were plain.

What ``rs274`` says of each line is asked of it here; what other controls do is common practice, no source.
"""

from __future__ import annotations

import time

import pytest

from gen.control.folders import load_control
from gen.plan.step import Move, Refuse, Spindle, Step, Unclear, Write
from gen.reader import Reading, ReadState, lower, read
from gen.reader.reading import UNFINISHED
from judge import ORIGIN, judge

NGC, HASH, ISO, R = (load_control(name) for name in ("rs274ngc", "hash-variables", "iso6983", "r-variables"))
CONTROLS = {"rs274ngc": NGC, "hash-variables": HASH, "iso6983": ISO, "r-variables": R}
MODES = "G21 G90 G94 G17\n"
START = ReadState(positions=ORIGIN)


def moves(reading: Reading) -> list[Move]:
    return [step for step in reading.steps if isinstance(step, Move)]


REFUSED = {
    "no-break space": "G0 X1\u00a0",
    "em space": "G0\u2003X1",
    "next line": "G0 X1\u0085",
    "file separator": "G0 X1\x1c",
    "vertical tab": "G0\x0bX1",
    "form feed": "G0\x0cX1",
    "long s": "M3 \u017f500",
    "many blanks": "G0 X1" + " " * 300,
    "long comment": "G0 X1 (" + "A" * 300 + ")",
    "carriage return": "G0 X1\rG0 Y2",
    "feed of nothing": "G1 X1 F0",
    "no feed": "G1 X1",
    "feed lost": "G1 X1 F100\nG94\nX2",
    "feed lost in inverse time": "G93 G1 X1 F2\nX2",
    "two of one group": "M3 M4 S100",
    "coolant twice": "M9 M9",
    "coolant and mist": "M7 M8",
    "stop and end": "M0 M2",
    "frame twice": "G53 G53 G0 X0",
    "frame and dwell": "G4 P1 G53 G0 X1",
    "frame and shift": "G92 G53 G0 X1",
    "offset and motion": "G10 L2 P1 X1 G0",
    "O number twice": "O1 if [1]\nG0 X1\nO1 endif\nO1 if [1]\nG0 X2\nO1 endif",
    "numbered switch": "/2 G0 X1",
    "letter without a number": "G0 X",
    "comment in a comment": "G0 X1 (A (B) C)",
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_the_judge_refuses_is_not_read(case: str) -> None:
    text = MODES + REFUSED[case] + "\nM2\n"
    assert judge(text).error != ""
    assert read(text, NGC, START).unread != []


@pytest.mark.parametrize("length", [252, 253])
def test_the_longest_line_is_the_judges(length: int) -> None:
    text = MODES + "G0 X1".ljust(length) + "\nM2\n"
    assert bool(judge(text).error) == bool(read(text, NGC, START).unread) == (length > 252)


@pytest.mark.parametrize("sign", ["--0.", "+-3.", "-+3.", "++3."])
@pytest.mark.parametrize("name", CONTROLS)
def test_two_signs_are_no_number(name: str, sign: str) -> None:
    assert [entry.why for entry in read(f"G90\nG0 U{sign}\n", CONTROLS[name]).unread] == ["two signs stand in a row"]


@pytest.mark.parametrize("name", CONTROLS)
def test_a_strange_blank_hides_nothing_on_any_control(name: str) -> None:
    for blank in "\u00a0\u2003\u0085\x1c\x0b\x0c\x00\ufeff\u2028":
        reading = read(f"G90\nG0 X1.{blank}\nG0{blank}Y1.\n", CONTROLS[name])
        assert [entry.line for entry in reading.unread] == [2, 3], repr(blank)
        assert reading.steps == []


def test_any_character_may_stand_in_a_comment() -> None:
    text = MODES + "G0 X1 (AÄ\u00a0\x0c\u2028)\nM2\n"
    assert judge(text).error == ""
    reading = read(text, NGC, START)
    assert (len(moves(reading)), reading.unread) == (1, [])


# -- comments that act


def test_a_comment_may_end_the_program() -> None:
    text = MODES + "G0 X1\n(abort, no stick)\nG0 X2\nM2\n"
    assert "no stick" in judge(text).error
    reading = read(text, NGC, START)
    assert reading.steps[1:] == [Refuse(3, "no stick")]
    assert reading.end == "refused"


@pytest.mark.parametrize(
    "comment", ["(print, #5420)", "(LOGOPEN, a.txt)", "(probeopen a.txt)", ";py,stop()", "(debug, x)"]
)
def test_a_comment_that_acts_is_named(comment: str) -> None:
    reading = read(MODES + comment + "\nG0 X1\n", NGC, START)
    assert [(first, last) for first, last, _ in reading.unmodelled] == [(2, 2)]
    assert read(MODES + comment.replace("#5420", "") + "\n", ISO).unmodelled == []


def test_only_the_last_comment_of_a_line_is_shown() -> None:
    for line in ("(MSG,a) (b)", ";MSG,a", "(b) (MSG,a)", "(MSG,a) ;b"):
        text = MODES + line + "\nM2\n"
        ours = [step for step in read(text, NGC, START).steps if isinstance(step, Refuse)]
        theirs = [step for step in judge(text).steps if isinstance(step, Refuse)]
        assert [step.message for step in ours] == [step.message for step in theirs]


# -- words that do more, or less, than they say


def test_a_tool_change_stops_the_spindle_where_it_is_known_to() -> None:
    text = MODES + "S500 M3\nT1 M6\nM2\n"
    theirs = [step.direction for step in judge(text).steps if isinstance(step, Spindle)]
    reading = read(text, NGC, START)
    assert [step.direction for step in reading.steps if isinstance(step, Spindle)] == theirs == ["cw", "off"]


@pytest.mark.parametrize("name", ["hash-variables", "iso6983", "r-variables"])
def test_elsewhere_nobody_knows_what_a_tool_change_leaves(name: str) -> None:
    reading = read("G90 G0 X1.\nS500 M3\nM8\nT1 M6\nS600\nG0 Y1.\n", CONTROLS[name], START)
    assert {group: reading.modes[group] for group in ("spindle", "coolant")} == {
        "spindle": ("unknown", 4),
        "coolant": ("unknown", 4),
    }
    assert [step for step in reading.steps if isinstance(step, Unclear)] == [Unclear(5, "spindle", "unknown")]
    assert moves(reading)[-1].to == {"Y": 1.0}


def test_a_surface_speed_is_no_speed() -> None:
    reading = read("G96 S100 M3\nG97 S500\n", HASH)
    assert reading.steps == [Unclear(1, "spindle", "cw"), Spindle(2, 500.0, "cw")]


@pytest.mark.parametrize("word", ["G50", "G92"])
def test_a_limit_of_speed_is_no_speed(word: str) -> None:
    reading = read(f"S300 M3\n{word} S2000\nM3\n", HASH)
    assert [step.rpm for step in reading.steps if isinstance(step, Spindle)] == [300.0, 300.0]
    assert f"S beside {word} is what another type of control has" in [entry.why for entry in reading.unread]


@pytest.mark.parametrize(("line", "control"), [("G4 X5", HASH), ("G4 U5", HASH), ("G4 X5", ISO), ("G4 F5", ISO)])
def test_a_wait_without_its_point_is_of_unknown_length(line: str, control: object) -> None:
    assert control in (HASH, ISO)
    reading = read(line + "\n", HASH if control is HASH else ISO)
    assert reading.steps == [Unclear(1, "dwell")]
    assert "no decimal point" in reading.unmodelled[0][2]


def test_where_axes_end_in_a_turned_frame_is_not_known() -> None:
    reading = read("G90 G0 X1. Y1.\nG68 X0. Y0. R30.\nG0 X5.\nG69\nG91 G0 X1.\nG90 X2.\n", HASH, START)
    assert [move.to.get("X") for move in moves(reading)][1:] == [None, None, None, 2.0]


def test_a_feed_that_was_in_force_before_is_said_not_to_be_known() -> None:
    reading = read("G90 G94 G1 X1.\nX2.\nF100. X3.\n", HASH, START)
    assert [move.rate for move in moves(reading)] == [None, None, 100.0]
    assert reading.unmodelled == [(1, 2, "a move at a feed that the program has not told")]


# -- values that the control sets itself


def test_an_unknown_value_makes_all_unknown_that_is_worked_out_from_it() -> None:
    text = "G90 G0 X1. Y1. Z1.\n#1=[2*#1000+1]\nG0 X#1\nG1 Y5. F#1\n#500=#1\nS#1 M3\n"
    reading = read(text, HASH, START)
    assert [move.to.get("X") for move in moves(reading)] == [1.0, None, None]
    assert moves(reading)[-1].rate is None
    assert [step for step in reading.steps if isinstance(step, Unclear)] == [
        Unclear(2, "write", "1"),
        Unclear(5, "write", "500"),
        Unclear(6, "spindle", "cw"),
    ]
    assert not any(isinstance(step, (Write, Spindle)) for step in reading.steps)
    said = [line for line, _, what in reading.unmodelled if what.endswith("depends on #1000, which is not known")]
    assert said == [2, 3, 4, 5, 6]


@pytest.mark.parametrize(
    "line",
    [
        "IF [#1000 EQ 0] GOTO 9",
        "WHILE [#1000 EQ 0] DO 1\nEND 1",
        "GOTO #1000",
        "M98 P#1000",
        "IF [[#1 EQ 0] OR [#5001 GT 3]] GOTO 9",
        "G#1000 X1.",
        "#[#1000]=3",
    ],
)
def test_a_decision_on_an_unknown_value_ends_the_reading(line: str) -> None:
    reading = read(f"G90 G0 X1.\n{line}\nG0 X2.\nN9 X3.\nM30\n", HASH)
    assert reading.end == "unknown"
    assert reading.end in UNFINISHED
    assert [move.to["X"] for move in moves(reading)] == [1.0]
    assert any("is not known; the rest is not read" in entry.why for entry in reading.unread)


@pytest.mark.parametrize(
    "value", ["[#5400 AND 0]", "[1 OR #5400]", "[#5400 EQ #5400]", "-#5400", "ABS[#5400]", "[2**#5400]"]
)
def test_no_operator_makes_a_number_of_what_is_not_known(value: str) -> None:
    reading = read(f"G90 G0 X{value}\nY[ATAN[#5400]/[1]]\n", NGC, START)
    assert [move.to for move in moves(reading)] == [
        dict.fromkeys("YZABC", 0.0),
        dict.fromkeys("ZABC", 0.0),
    ]


def test_the_judges_position_variables_are_known_where_the_position_is() -> None:
    text = "G21 G90 G94 G17\nG10 L2 P1 X3 Y4\nG0 X5 Y6\nG20\nG0 Z[#5420+2] X[#5421]\nG92 X1\nG0 Y#5420\nM2\n"
    verdict = judge(text)
    reading = read(text, NGC, START)
    assert verdict.error == ""
    assert [move.to for move in moves(reading)] == [
        pytest.approx(step.to, abs=0.002) for step in verdict.steps if isinstance(step, Move)
    ]
    assert reading.unmodelled == []
    assert moves(read("G90 G0 Z[#5420+2]\n", NGC))[0].to == {}


@pytest.mark.parametrize("value", ["#5400", "#5063", "#<_rpm>", "#<_spindle_on>"])
def test_what_the_control_alone_knows_is_named(value: str) -> None:
    reading = read(f"G90 G0 X{value}\n", NGC, START)
    assert "X" not in moves(reading)[0].to
    assert f"{value} is read: a variable of the control's own state" in [what for _, _, what in reading.unmodelled]


def test_an_offset_that_is_assigned_is_lost() -> None:
    reading = read("G90 G0 X1. Y1.\n#5221=7.\nG0 X2.\nG53 G0 Y3.\n", HASH, START)
    assert "X" not in moves(reading)[1].to
    assert moves(reading)[2].to["Y"] == 3.0


# -- loops without an end


@pytest.mark.parametrize(
    "text",
    [
        "AGAIN:\nR1=R1\nG4 F0.1\nGOTOB AGAIN\n",
        'GUARD:\nIF R501<100 GOTOF WRONG\nG0 X1\nGOTOF READY\nWRONG:\nMSG("NO")\nM9\nM0\nGOTOB GUARD\nREADY:\nM30\n',
        "R1=0\nAGAIN:\nR1=(R1+1)*(R1<5)\nGOTOB AGAIN\n",
    ],
)
@pytest.mark.parametrize("past", [False, True])
def test_a_round_without_change_is_found_at_once(text: str, past: bool) -> None:
    begin = time.process_time()
    reading = read(text, R, past_stops=past)
    assert time.process_time() - begin < 0.5
    assert reading.end in ("budget", "refused")
    assert len(reading.steps) < 100
    if reading.end == "budget":
        assert any("for ever" in entry.why and entry.line for entry in reading.unread)


def test_switches_for_block_delete_are_told_apart() -> None:
    text = "G90 G0 X1.\n/ X2.\n/2 X3.\n/3X4.\n"
    assert lower(text, HASH).delete_switches == {1, 2, 3}

    def xs(switches: bool | frozenset[int]) -> list[float]:
        return [move.to["X"] for move in moves(read(text, HASH, ReadState(block_delete=switches)))]

    assert xs(frozenset({2})) == [1.0, 2.0, 4.0]
    assert xs(frozenset({1, 3})) == [1.0, 3.0]
    assert (xs(True), xs(False)) == ([1.0], [1.0, 2.0, 3.0, 4.0])


def test_steps_that_are_not_known_are_never_the_same() -> None:
    from gen.plan.differences import differences

    one: list[Step] = [Unclear(1, "dwell")]
    assert differences(one, one) != []
