"""Labels, jumps with a direction, messages, keywords and = : expected steps worked out by hand.

There is no public interpreter for this language; all of it is from memory of
programs of this kind.
"""

from __future__ import annotations

import pytest

from gen.control.folders import load_control
from gen.plan.step import Aux, Move, Refuse, Register, Stop
from gen.reader import Budget, Reading, ReadState, read

R = load_control("r-variables")


def reading(text: str, registers: dict[Register, float | None] | None = None, *, past_stops: bool = False) -> Reading:
    state = ReadState(registers=registers or {}, positions={"X": 0.0})
    return read(text, R, state, past_stops=past_stops, budget=Budget(jumps=50))


def xs(found: Reading) -> list[float]:
    return [step.to["X"] for step in found.steps if isinstance(step, Move)]


def whys(found: Reading) -> list[tuple[int, str]]:
    return [(entry.line, entry.why) for entry in found.unread]


# -- jumps


def test_a_jump_ahead_does_not_look_back_and_one_back_does_not_look_ahead() -> None:
    text = "G90 G0\nAA: X1\nR1=R1+1\nIF R1==1 GOTOB AA\nGOTOF AA\nX99\nAA: X2\nM30\n"
    found = reading(text)
    assert (xs(found), found.unread) == ([1, 1, 2], [])


def test_a_jump_without_direction_goes_ahead_first() -> None:
    assert xs(reading("G90 G0\nAA: X1\nR1=R1+1\nIF R1>2 GOTOF OUT\nGOTO AA\nX99\nOUT: X3\nM30\n")) == [1, 1, 1, 3]


def test_a_label_may_begin_with_the_letter_that_a_jump_ends_with() -> None:
    assert xs(reading("G90 G0\nGOTO FIRST\nX99\nIRST: X98\nFIRST: X1\nM30\n")) == [1]
    assert xs(reading("G90 G0\nGOTOF IRST\nX99\nFIRST: X98\nIRST: X1\nM30\n")) == [1]


def test_a_jump_to_a_block_number_and_a_label_behind_one() -> None:
    assert xs(reading("N1 G90 G0\nN2 GOTOF N4\nN3 X99\nN4 AA_1: X1\nN5 M30\n")) == [1]
    assert xs(reading("N1 G90 G0\nN2 GOTOF AA_1\nN3 X99\nN4 AA_1: X1\nN5 M30\n")) == [1]


def test_a_condition_wants_no_brackets_and_may_have_them() -> None:
    for condition in ("R1>=100", "(R1>=100)", "R1+50 >= 3*50", "NOTHING == 1"):
        found = reading(f"G90 G0\nIF {condition} GOTOF BIG\nX1\nM30\nBIG: X2\nM30\n", {1: 100.0})
        assert xs(found) == ([1] if "NOTHING" in condition else [2])
        assert bool(found.unread) == ("NOTHING" in condition)


def test_comparisons_bind_loosest() -> None:
    text = "G90 G0\nIF R1==2 AND 0 GOTOF YES\nX1\nM30\nYES: X2\nM30\n"
    # R1 == (2 AND 0)
    assert xs(reading(text, {1: 0.0})) == [2]
    assert xs(reading(text, {1: 2.0})) == [1]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("GOTOF AA", "there is no label AA there"),
        ("GOTOB ZZ", "there is no label ZZ there"),
        ("GOTOF N77", "there is no line N77 to jump to"),
        ("GOTOF A", "a label is wanted after the jump, and nothing behind it, not 'GOTOFA'"),
        ("GOTOF ZZ X1", "a label is wanted after the jump, and nothing behind it, not 'GOTOFZZX1'"),
        ("IF R1>2 X5", "a jump or an assignment is wanted after the condition, not 'X5'"),
        ("IF R1>2", "this IF has no end"),
    ],
)
def test_a_jump_that_leads_nowhere_is_told(line: str, why: str) -> None:
    found = reading(f"G90 G0\nAA: X1\nIF 0 GOTOF ZZ\n{line}\nZZ: M30\n")
    assert (4, why) in whys(found)


# -- messages and stops


STANDS = 'GOTOF ON\nNO: MSG("not like this")\nM0\nGOTOB NO\nON: IF R1<1 GOTOB NO\nG90 G0 X1\nM30\n'


@pytest.mark.parametrize("past_stops", [False, True])
def test_a_stop_that_leads_back_to_its_message_is_a_refusal(past_stops: bool) -> None:
    found = reading(STANDS, past_stops=past_stops)
    assert (found.steps, found.end) == ([Refuse(2, "not like this")], "refused")
    assert xs(reading(STANDS, {1: 1.0}, past_stops=past_stops)) == [1]


def test_a_message_and_a_stop_that_goes_on_is_none() -> None:
    found = reading('MSG("look at the stick")\nM0\nG90 G0 X1\nM30\n')
    assert [step.op for step in found.steps] == ["stop", "rapid", "end"]


def test_a_stop_that_is_left_after_three_starts_is_none() -> None:
    found = reading('NO: MSG("again")\nR9=R9+1\nM0\nIF R9<3 GOTOB NO\nG90 G0 X1\nM30\n')
    assert [step.op for step in found.steps] == ["write", "stop"] * 3 + ["rapid", "end"]


def test_a_stop_between_motions_is_none() -> None:
    found = reading('NO: MSG("again")\nM0\nG91 G0 X1\nGOTOB NO\n')
    assert found.end == "budget"
    assert not any(isinstance(step, Refuse) for step in found.steps)


def test_a_stop_for_which_nobody_is_told_why_is_not_taken_for_a_refusal() -> None:
    found = reading("NO: M0\nGOTOB NO\n")
    assert found.end == "budget"
    assert [type(step) for step in found.steps] == [Stop, Stop]
    assert "shows no message" in found.unread[-1].why


def test_an_optional_stop_is_passed_with_its_switch_off() -> None:
    found = reading('NO: MSG("x")\nM1\nGOTOB NO\n')
    assert found.end == "budget"
    assert not any(isinstance(step, Refuse) for step in found.steps)


def test_a_message_then_the_end_is_a_refusal_here_too() -> None:
    found = reading('MSG("no") M30\n')
    assert [step.op for step in found.steps] == ["refuse", "end"]


def test_an_empty_message_takes_one_back() -> None:
    assert [step.op for step in reading('MSG("no")\nMSG("")\nM30\n').steps] == ["end"]


def test_comments_and_messages_hold_what_looks_like_the_other() -> None:
    found = reading('G90 G0 X1 ; MSG("not shown") M0\nM30\n')
    assert [step.op for step in found.steps] == ["rapid", "end"]
    found = reading('G90 G0 X1\nMSG("a; b (c)")\nM30\n')
    assert [step.message for step in found.steps if isinstance(step, Refuse)] == ["a; b (c)"]
    assert found.unread == []


def test_a_message_that_is_put_together_is_not_followed() -> None:
    assert whys(reading('MSG("at "<<R1)\nM30\n')) != []


# -- words


def test_what_is_worked_out_wants_its_equals_sign() -> None:
    assert xs(reading("G90 G0 X=R1 M8\nX=R1+1 F=R1\nX=-(R1)\nX=5\nX6\n", {1: 3.0})) == [3, 4, -3, 5, 6]
    for text in ("X R1", "X(5)", "X SIN(30)"):
        assert whys(reading(f"G90 G0\n{text}\n", {1: 3.0})) != []


def test_several_assignments_in_a_block_act_in_order() -> None:
    assert xs(reading("R1=2 R2=R1*3\nR0=1\nG90 G0 X=R2+R0\n")) == [7]


@pytest.mark.parametrize(
    ("expression", "value"),
    [
        ("TRUNC(-1.7)", -1),
        ("ROUNDUP(1.2)", 2),
        ("ROUND(-2.5)", -3),
        ("ATAN2(1,-1)", 135),
        ("SQRT(9)+R1*2", 7),
        ("7 MOD 4", 3),
        ("ROUND(R1)*SIN(90)", 2),
        ("10/4", 2.5),
    ],
)
def test_functions(expression: str, value: float) -> None:
    assert xs(reading(f"G90 G0 X={expression}\n", {1: 2.0})) == [pytest.approx(value)]


def test_keywords_act_in_their_block_only_or_stay() -> None:
    text = "G90 G0 G57\nSUPA X5\nX5\nSTOPRE\nM30\n"
    found = read(text, R, ReadState(offsets={"G57": {"X": 100.0}}))
    moves = [step for step in found.steps if isinstance(step, Move)]
    assert [(step.to["X"], step.frame) for step in moves] == [(5, "machine"), (105, "G57")]
    assert Aux(4, "STOPRE", "synchronise") in found.steps


@pytest.mark.parametrize(
    "line",
    ["G71", "SPOS=90", "G0 X R1", "CASE R1 OF 1 GOTOF AWAY DEFAULT GOTOF AWAY"],
)
def test_what_is_not_read_is_told(line: str) -> None:
    assert [entry.line for entry in reading(f"G90 G0 X1\n{line}\nM30\n").unread] == [2]


@pytest.mark.parametrize("line", ["ROT Z45", "MIRROR X0", "CYCLE81(5)", "$AC_TIMER[1]=0", "XSIN(30)"])
def test_what_is_read_and_not_worked_out_is_told(line: str) -> None:
    found = reading(f"G90 G0 X1\n{line}\nM30\n")
    assert found.unread == []
    assert [first for first, _, _ in (*found.unmodelled, *found.lost)] == [2]


@pytest.mark.parametrize("word", ["D1", "DIAMON", "G41"])
def test_what_is_not_worked_out_is_told(word: str) -> None:
    off = {"D1": "D0", "DIAMON": "DIAMOF", "G41": "G40"}[word]
    found = reading(f"G90 G0\n{word}\nX1\n{off}\nM30\n")
    assert [(first, last) for first, last, _ in found.unmodelled] == [(2, 4)]


def test_where_coordinates_are_turned_a_word_of_one_axis_moves_the_others_too() -> None:
    found = reading("G90 G0 X1 Y2\nROT Z5\nY3\n")
    assert [step.to for step in found.steps if isinstance(step, Move)] == [{"X": 1, "Y": 2}, {}]


def test_a_call_leads_to_a_file_that_is_not_here() -> None:
    """What is not read is said, and whatever depends on it is not known."""
    found = reading("G90 G0 X1\nL7101\nM30\n")
    assert [(first, what.partition(",")[0]) for first, _, what in found.lost] == [(2, "program 7101")]


@pytest.mark.parametrize("word", ["M17", "RET"])
def test_both_words_return(word: str) -> None:
    found = reading(f"G90 G0 X1\n{word}\nX2\n")
    assert (found.end, xs(found)) == ("return", [1])
