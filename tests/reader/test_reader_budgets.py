"""Hostile and broken programs end soon, with a sentence and without an exception."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gen.control.folders import load_control
from gen.plan.step import Move, Write
from gen.reader import Budget, read

NGC, HASH, ISO = (load_control(name) for name in ("rs274ngc", "hash-variables", "iso6983"))

LONG = NGC.model_copy(update={"lexis": NGC.lexis.model_copy(update={"line_length": 100_000})})
"""The same words, with lines as long as one may be."""

ENDLESS = {
    "while": (NGC, "o1 while [1]\no1 endwhile\n", "for ever"),
    "while with motion": (NGC, "G21 G90\no1 while [1]\nG0 X1\no1 endwhile\n", "for ever"),
    "while in increments": (NGC, "G21 G91\no1 while [1]\nG0 X1\no1 endwhile\n", "for ever"),
    "repeat": (NGC, "o1 repeat [1000000000]\no1 endrepeat\n", "jumps back"),
    "nested repeat": (NGC, "o1 repeat [99999]\no2 repeat [99999]\no2 endrepeat\no1 endrepeat\n", "jumps back"),
    "recursion": (NGC, "o1 sub\no1 call\no1 endsub\no1 call\n", "deep"),
    "goto": (HASH, "N1 #1=1\nGOTO 1\n", "for ever"),
    "goto ahead": (HASH, "N1\nGOTO 2\nN2\nGOTO 1\n", "for ever"),
    "loop": (HASH, "DO 1\nEND 1\n", "for ever"),
    "program calls": (HASH, "O1\nM98 P2 L99999999\nM30\nO2\nM98 P3 L99999999\nM99\nO3\nM99\n", "jumps back"),
    "program recursion": (HASH, "O1\nM98 P1\n", "deep"),
    "big number of a variable": (NGC, "#[9**99]=1\nG0 X1\n", "stops here"),
    "growing number": (NGC, "#1=2\no1 while [1]\n#1=[#1*#1]\no1 endwhile\n", "stops here"),
}


@pytest.mark.parametrize("case", ENDLESS)
@pytest.mark.parametrize("past", [False, True])
def test_endless_programs_end(case: str, past: bool) -> None:
    control, text, expected = ENDLESS[case]
    begin = time.process_time()
    reading = read(text, control, past_stops=past)
    assert time.process_time() - begin < 10
    assert reading.end == "budget" or "stops here" in expected
    assert any(expected in entry.why for entry in reading.unread)


def test_a_round_that_asks_where_it_stands_ends_when_it_is_there() -> None:
    reading = read("G21 G90\nG0 X0\nG91\no1 while [#5420 LT 1000]\nG0 X1\no1 endwhile\nM2\n", NGC)
    last = reading.steps[-2]
    assert isinstance(last, Move)
    assert (reading.end, last.to["X"]) == ("end", 1000)


def test_a_budget_of_steps_is_kept_to_the_step() -> None:
    text = "G21 G90\n" + "G0 X1\n" * 10 + "M2\n"
    assert [len(read(text, NGC, budget=Budget(steps=n)).steps) for n in (0, 4, 10, 11, 12)] == [0, 4, 10, 11, 11]
    assert read(text, NGC, budget=Budget(steps=10)).end == "budget"
    assert read(text, NGC, budget=Budget(steps=11)).end == "end"


def test_a_text_too_long_is_not_read() -> None:
    reading = read("G0 X1\n" * 10, NGC, budget=Budget(text=59))
    assert (reading.end, reading.steps) == ("budget", [])
    assert "longer than 59 characters" in reading.unread[0].why


@pytest.mark.parametrize(
    "text",
    [
        "#1=" + "[" * 5000 + "1" + "]" * 5000,
        "#1=" + "#" * 5000 + "1",
        "#1=" + "-" * 5000 + "1",
        "#1=" + "SIN[" * 5000 + "1" + "]" * 5000,
    ],
    ids=["brackets", "indirect", "minus", "functions"],
)
def test_deep_nesting_is_unread(text: str) -> None:
    reading = read(f"{text}\nM2\n", LONG)
    assert [entry.line for entry in reading.unread] == [1]
    assert "nested" in reading.unread[0].why or "two signs" in reading.unread[0].why
    assert reading.end == "end"


def test_a_long_expression_needs_no_depth() -> None:
    reading = read("#500=[" + "+".join(["1"] * 20_000) + "]\nM2\n", LONG)
    assert reading.steps[0] == Write(1, 500, 20_000.0)
    assert reading.unread == []


def test_many_reads_are_bounded() -> None:
    reading = read("o1 while [#1 EQ 0]\n#2=[#3+#4+#5]\no1 endwhile\n", NGC, registers=set(), budget=Budget(steps=1000))
    assert reading.end == "budget"
    assert len(reading.reads) < 5000


PIECES = st.sampled_from(
    [
        *"GMXYZFNO#[]()<>=/%;.-+0123456789 \n\n\n",
        *("IF[", "GOTO1", "WHILE[", "DO1", "END1", "THEN#1=", "M98P1", "M99", "]", "#1=[#1+1]\n", "N1", "\nO1\n"),
        *("o1 sub\n", "o1 endsub\n", "o1 call\n", "o1 if [#1]\n", "o1 else\n", "o1 endif\n", "o1 break\n"),
        *("o1 while [#1 LT 3]\n", "o1 endwhile\n", "o1 do\n", "o1 repeat [3]\n", "o1 endrepeat\n"),
    ]
)


@settings(max_examples=300, deadline=None)
@given(st.lists(PIECES, max_size=60).map("".join))
def test_no_text_at_all_raises(text: str) -> None:
    for control in (NGC, HASH, ISO):
        reading = read(text, control, past_stops=True, budget=Budget(steps=200, jumps=200))
        assert reading.end in ("end", "refused", "return", "text", "budget", "unknown")


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=100))
def test_no_character_raises(text: str) -> None:
    for control in (NGC, HASH, ISO):
        read(text, control, budget=Budget(steps=200, jumps=200))
