"""Numbered lines that are jumped to, among thousands that are not: read as one by one, and found without reading."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gen.control.folders import load_control
from gen.control.model import Control
from gen.reader import ReadState, lower, run
from gen.reader.lexis import Lexer
from gen.reader.program import Block
from gen.reader.reading import Budget
from gen.reader.targets import target_lines

HASH = load_control("hash-variables")
NAMED = load_control("r-variables")

numbers = st.integers(1, 12)
lines = st.one_of(
    st.builds("N{} G1 X{}. F100".format, numbers, numbers),
    st.builds("N{}G1X{}.F100".format, numbers, numbers),
    st.builds("N0{} G0 Z{}.".format, numbers, numbers),
    st.builds("IF [#{} EQ 1] GOTO {}".format, st.integers(1, 3), numbers),
    st.builds("N{} GOTO {} (ON)".format, numbers, numbers),
    st.builds("goto {}".format, numbers),
    st.just("GOTO #1"),
    st.just("GOTO [#1+3]"),
    st.builds("#{}=#{}+1".format, st.integers(1, 3), st.integers(1, 3)),
    st.builds("/N{} G0 X1.".format, numbers),
)
programs = st.lists(st.one_of(lines, st.builds(lambda n: "\n".join(f"N{90 + k} G1 X{k}. F200" for k in range(n)),
                                               st.integers(1, 9))), max_size=14)  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(programs, st.booleans())
def test_jumps_lead_to_the_same_lines_whether_plain_ones_are_taken_together_or_not(
    program: list[str], deleted: bool
) -> None:
    text = "\n".join(["G21 G90 G94 G17", *program, "M30"])
    state = ReadState(registers={1: 1.0, 2: 0.0, 3: 5.0}, block_delete=deleted)
    budget = Budget(steps=300)
    together, singly = (run(lower(text, HASH, fast=fast), state, budget=budget) for fast in (True, False))
    assert list(together.steps) == list(singly.steps)
    assert (together.end, list(together.unread)) == (singly.end, list(singly.unread))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("N1 G0 X1\nGOTO 1", [1]),
        ("N10 G0 X1\nN1 G0\n/ N001 X2\nIF [#1 EQ 2] GOTO 0001 (BACK)", [2, 3]),
        ("N1 G0 X1\nGOTO #1\n/N2 M0\nG0 X2", [1, 3]),
        ("N1 G0 X1\nGOTO [#1]", [1]),
        ("N1 G0 X1\nGOTO 1+#2", [1]),
        ("N1 G0 X1", []),
    ],
)
def test_the_lines_that_are_jumped_to(text: str, found: list[int]) -> None:
    assert target_lines(text, HASH) == found


def test_a_name_is_no_number() -> None:
    text = "N5 G0 X1\nIF R1>2 GOTOF FIRST\nN6 GOTOB N5 ; once more\nFIRST: M30"
    assert target_lines(text, NAMED) == [1]


def test_thousands_of_numbered_lines_around_a_jump_stay_together() -> None:
    """What the time of a long grinding program depends on, counted rather than timed."""
    plain = [f"N{100 + k} G1 X{k % 50}.5 Z{k % 40}.25 F200" for k in range(2000)]
    text = "\n".join([*plain, "IF [#501 EQ 0] GOTO 1500", "M30"])
    single = [item for item in lower(text, HASH).code if isinstance(item, Block)]
    assert len(single) < 20


PIECES = st.sampled_from(
    [*"NnGM /:;()\t.-", "10", "0", "(2)", 'MSG("3")', "msg(", "AB:", "%", "X1.5", "O7", "é", "\xa0", "\x1f"]
)
TAKEN_FOR_COMMENTS = HASH.model_copy(
    update={"lexis": HASH.lexis.model_copy(update={"comments": [("1", "0"), (" ", "G")], "block_delete": "n"})}
)


@settings(max_examples=400, deadline=None)
@given(st.lists(PIECES, max_size=8).map("".join), st.sampled_from([HASH, NAMED, TAKEN_FOR_COMMENTS]))
@example("N10 G1 X5 (N20)", HASH)
@example("n 10", HASH)
@example('N1MSG("3")0 G1', NAMED)
@example("N10 G1", TAKEN_FOR_COMMENTS)
def test_a_number_is_told_without_taking_the_line_apart_as_it_is_with_that(text: str, control: Control) -> None:
    lexer = Lexer(control)
    assert lexer.label(text) == lexer.source(1, text).label
