"""Jumps, numbered loops and subprograms: expected steps worked out by hand, and against O words.

There is no public interpreter for this language; how it jumps, loops and
returns is from memory of programs of this kind.
"""

from __future__ import annotations

import pytest

from gen.control.folders import load_control
from gen.plan.differences import differences
from gen.plan.step import End, Move, Refuse, Register, Stop, Write
from gen.reader import Reading, ReadState, lower, read, run

HASH = load_control("hash-variables")
NGC = load_control("rs274ngc")


def xs(reading: Reading) -> list[float]:
    return [step.to["X"] for step in reading.steps if isinstance(step, Move)]


def whys(reading: Reading) -> list[tuple[int, str]]:
    return [(entry.line, entry.why) for entry in reading.unread]


def test_a_jump_goes_ahead_first_and_then_to_the_top() -> None:
    text = (
        "G90 G0\nN10 X1.\nIF [#1 EQ 1] GOTO 20\n#1=1\nGOTO 10\nX99.\nN20 X2.\nGOTO 30\nX98.\nN30 X3.\nM30\nN30 X97.\n"
    )
    assert xs(read(text, HASH)) == [1.0, 1.0, 2.0, 3.0]


def test_a_computed_jump() -> None:
    text = "G90 G0\n#1=5\nGOTO [#1*2]\nX1.\nN10 X2.\nM30\n"
    assert xs(read(text, HASH)) == [2.0]


def test_if_then_assigns() -> None:
    text = "#1=3\nIF [#1 GT 2] THEN #2=7\nIF [#1 GT 5] THEN #2=8\nG90 G0 X#2\nM30\n"
    assert xs(read(text, HASH)) == [7.0]


def test_loops_within_loops_and_numbers_used_again() -> None:
    text = (
        "G90 G0\n#1=0\nWHILE [#1 LT 2] DO 1\n#2=0\nWHILE[#2LT3]DO2\nX[#1*10+#2]\n#2=#2+1\nEND2\n#1=#1+1\nEND 1\n"
        "WHILE [#1 LT 4] DO1\nX[#1*100]\n#1=#1+1\nEND1\nDO3\n#1=#1-1\nIF[#1LT3]GOTO7\nEND3\nN7 X#1\nM30\n"
    )
    assert xs(read(text, HASH)) == [0, 1, 2, 10, 11, 12, 200, 300, 2]


def test_calls_nest_repeat_and_share_variables() -> None:
    text = (
        "O1\nG90 G0\n#100=0\nM98 P2 L2\nX[#100]\nM98 P0003\nM30\n"
        "O0002 (COUNTS)\n#100=#100+1\nM98 P3\nM99\nO3\nX[#100+50]\nM99\n"
    )
    assert xs(read(text, HASH)) == [51, 52, 2, 52]


def test_line_numbers_belong_to_their_program() -> None:
    text = "O1\nG90 G0\nM98 P2\nGOTO 10\nN10 X1.\nM30\nO2\nGOTO 10\nX9.\nN10 X2.\nM99\n"
    assert xs(read(text, HASH)) == [2.0, 1.0]


def test_words_beside_a_call_or_a_return_act_first() -> None:
    text = "O1\nG90 G0 X1. M98 P2\nM30\nO2\nX2.\nX3. M99\n"
    assert xs(read(text, HASH)) == [1.0, 2.0, 3.0]


def test_a_program_does_not_run_into_the_next() -> None:
    reading = read("O1\nG90 G0 X1.\nO2\nX2.\nM30\n", HASH)
    assert (xs(reading), reading.end) == ([1.0], "text")


def test_a_subprogram_alone_runs_and_returns_to_nobody() -> None:
    assert read("%\nO7101\nG90 G0 X1.\nM99\n%\n", HASH).end == "return"
    reading = read("%\n(dress)\no<7101> sub\nG90 G0 X#1\no<7101> endsub\nM2\n%\n", NGC, ReadState(registers={1: 4.0}))
    assert (xs(reading), reading.end) == ([4.0], "return")


def test_an_alarm_is_a_refusal_with_its_comment() -> None:
    text = "IF [#501 EQ #0] GOTO 90\nG90 G0 X#501\nM30\nN90 #3000=1 (DIAMETER NOT SET)\nGOTO 90\nX99.\n"
    reading = read(text, HASH)
    assert (reading.steps, reading.end) == ([Refuse(4, "DIAMETER NOT SET")], "refused")
    past = read(text, HASH, past_stops=True)
    assert past.end == "refused"
    assert {type(step) for step in past.steps} == {Refuse}
    assert xs(read(text, HASH, ReadState(registers={501: 3.0}))) == [3.0]


def test_past_stops_goes_on_behind_every_stop() -> None:
    text = "G90 G0 X1.\nM0\nX2.\n#3000=5 (NO)\nX3.\nM30\nX4.\n"
    assert [step.op for step in read(text, HASH).steps] == ["rapid", "stop", "rapid", "refuse"]
    past = read(text, HASH, past_stops=True)
    assert xs(past) == [1, 2, 3, 4]
    assert [step for step in past.steps if not isinstance(step, Move)] == [Stop(2), Refuse(4, "NO"), End(6)]
    assert past.end == "text"


def test_messages_refuse_only_before_the_end() -> None:
    text = "(MSG, hello)\nG90 G0 X1\n(MSG, set the length)\n\n(remark)\nM2\nX2\n"
    reading = read(text, NGC)
    assert [step.op for step in reading.steps] == ["rapid", "refuse", "end"]
    assert reading.steps[1] == Refuse(3, "set the length")
    past = read(text, NGC, past_stops=True)
    assert (xs(past), past.end) == ([1.0, 2.0], "text")


@pytest.mark.parametrize(
    ("text", "line", "why"),
    [
        ("GOTO 5\nX1.\n", 1, "there is no line N5 to jump to"),
        ("IF [1 EQ 1] X5.\n", 1, "a jump or an assignment is wanted after the condition, not 'X5.'"),
        ("END 1\n", 1, "this ends no loop 1"),
        ("DO 1\nDO 1\nEND 1\nM30\n", 2, "a loop 1 is open already"),
        ("G90\nWHILE [#1 LT 1] DO 2\nG0 X1.\n", 2, "the loop 2 has no end"),
        ("WHILE [#1 LT 1] G0\n", 1, "a numbered loop wants its number after the condition, not 'G0'"),
        ("M98\n", 1, "M98 wants the number of a program after P"),
        ("O1\nM30\nO1\nM30\n", 3, "there are two programs 1"),
        ("G65 A1.\n", 1, "G65 wants the number of a program after P"),
        ("M99 P10\n", 1, "a return to a line number is not read"),
        ("GOTO 5 X1.\nN5\n", 1, "nothing may follow the line number of a jump, but 'X1.' does"),
    ],
)
def test_broken_flow_is_named_with_hash_variables(text: str, line: int, why: str) -> None:
    assert (line, why) in whys(read(text, HASH))


@pytest.mark.parametrize(
    ("text", "line", "why"),
    [
        ("o1 if [1]\nG0 X1\n", 1, "this if has no end"),
        ("o1 endif\n", 1, "this ends no if of its number"),
        ("o1 if [1]\no2 while [1]\no1 endif\no2 endwhile\n", 3, "this ends no if of its number"),
        ("o1 else\n", 1, "this ends no if of its number"),
        ("o1 if [1]\no1 else\no1 else\no1 endif\n", 3, "the else of this if has been already"),
        ("o1 break\n", 1, "there is no while or do of this number around it"),
        ("o1 return\n", 1, "there is no subprogram of this number around it"),
        ("o1 call 5\no1 sub\no1 endsub\nM2\n", 1, "arguments in brackets are wanted after CALL"),
        ("o1 sub\no2 sub\no2 endsub\no1 endsub\n", 2, "a subprogram may not hold another"),
        ("o1 sub\no1 endsub\no1 sub\no1 endsub\n", 3, "there are two subprograms 1"),
        ("o1 jump\n", 1, "JUMP is no word of this kind"),
        ("o#1 call\n", 1, "an O word whose number is computed is not read"),
        ("o1 if 1\n", 1, "an expression in brackets is wanted here"),
        ("o1 if [1] G0 X1\no1 endif\n", 1, "nothing may stand here, but 'G0X1' does"),
    ],
)
def test_broken_flow_is_named_with_o_words(text: str, line: int, why: str) -> None:
    assert (line, why) in whys(read(text, NGC))


def test_the_same_program_in_two_languages() -> None:
    """Guards, a loop, write-backs: what ``rs274`` confirms of the one holds for the other."""
    ngc = (
        "G21 G90 G94 G17\no1 if [[#501 GE 10] AND [#501 LE 50]]\no2 while [#502 LT 3]\n#502=[#502+1]\n"
        "G1 X[#501-#502] F[60*#502]\no2 endwhile\n#503=[FIX[#501/3]]\no1 else\n(MSG,out of range)\nM2\no1 endif\nM2\n"
    )
    hash_text = (
        "G21 G90 G94 G17\nIF [#501 LT 10] GOTO 90\nIF [#501 GT 50] GOTO 90\nWHILE [#502 LT 3] DO 1\n#502=#502+1\n"
        "G1 X[#501-#502] F[60*#502]\nEND 1\n#503=FIX[#501/3]\nGOTO 99\nN90 #3000=1 (out of range)\nGOTO 90\nN99 M2\n"
    )
    one, other = lower(ngc, NGC), lower(hash_text, HASH)
    for diameter in (10.0, 31.7, 50.0):
        state = ReadState(registers={501: diameter, 502: 0.0})
        steps = run(one, state).steps
        assert len(steps) == 8
        assert steps[-2] == Write(7, 503, float(diameter // 3))
        assert differences(steps, run(other, state).steps) == []
    for bad in (9.9, 50.1, None, 0.0):
        registers: dict[Register, float | None] = {501: bad, 502: 0.0}
        refused = run(other, ReadState(registers=registers)).steps
        assert refused == [Refuse(10, "out of range")]
        expected = run(one, ReadState(registers={key: value or 0.0 for key, value in registers.items()})).steps
        assert expected == [Refuse(9, "out of range"), End(10)]
