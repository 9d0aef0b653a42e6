"""Words of the `#` controls that nearly every grinding program has: read, or said to be unknown from there on.

What each does is common practice, no source; positions are worked out by hand.
"""

from __future__ import annotations

import pytest

from gen.control.folders import load_control
from gen.plan.step import Aux, Move, Stop
from gen.reader import Reading, ReadState, read
from judge import ORIGIN

HASH = load_control("hash-variables")
SAFE = "G21 G90 G94 G17 G40 G49 G80\n"


def reading(text: str) -> Reading:
    return read(SAFE + text + "M30\n", HASH, ReadState(positions=ORIGIN))


def xs(found: Reading) -> list[float | None]:
    return [step.to.get("X") for step in found.steps if isinstance(step, Move)]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        # letters set the called program's own variables: A is #1, X is #24; what the caller has in #1 stays
        ("#1=7.\nG65 P9010 A2. X3.\nG0 X#1\nM30\nO9010\nG0 X[#1+#24]\n#1=50.\nM99\n", [5.0, 7.0]),
        # what the call does not give is empty, and an empty axis word is none
        ("G0 X4.\nG65 P9010 A2.\nM30\nO9010\nG0 X#2 Y#1\nM99\n", [4.0, 4.0]),
        # a called program that calls another hands nothing on
        ("G65 P9010 A2.\nM30\nO9010\nG65 P9011 B3.\nG0 X#1\nM99\nO9011\nG0 X#2\n#1=9.\nM99\n", [3.0, 2.0]),
        # five times program 2
        ("M98 P50002\nM30\nO2\nG91\nG0 X1.\nG90\nM99\n", [1.0, 2.0, 3.0, 4.0, 5.0]),
        ("#500=0\nIF [#500 EQ 0] THEN G0 X3.\nIF [#500 EQ 1] THEN G0 X4.\nG0 X5.\n", [3.0, 5.0]),
        ("#500=0\nIF [#500 EQ 0] THEN GOTO 5\nG0 X4.\nN5 G0 X6.\n", [6.0]),
        ("#500=0\nIF [#500 EQ 0] THEN M98 P2\nM30\nO2\nG0 X8.\nM99\n", [8.0]),
        ("G10 L20 P3 X5.\nG54.1 P3 G0 X1.\nG54 G0 X1.\n", [6.0, 1.0]),
        ("G52 X2.\nG0 X1.\nG55 G0 X1.\nG52 X0.\nG0 X1.\n", [3.0, 3.0, 1.0]),
        ("G10 L10 P1 R5.\nG10 L12 P1 R5.\nG5.1 Q1\nG8 P1\nG5 P10000\nG0 X1.\n", [1.0]),
        ("G1 X5. ,R2. F100.\nY7. ,C1.\nX9.\n", [5.0, 5.0, 9.0]),
        ("G1 X1. F50.\nG31 X9.\nY2.\nX3.\n", [1.0, None, None, 3.0]),
        # a local shift and one by G92 add up, and which came first counts
        ("G92 X5.\nG52 X2.\nG0 X1.\n", [None]),
        # an offset that is added to all others
        ("G10 L2 P0 X5.\nG0 X1.\n", [None]),
    ],
)
def test_positions_are_as_worked_out_by_hand(text: str, wanted: list[float | None]) -> None:
    found = reading(text)
    assert found.unread == []
    assert xs(found) == wanted


def test_an_offset_that_the_control_lacks_is_set_nowhere() -> None:
    """Its table has G54.1 P1 to P48."""
    found = reading("G54\nG10 L20 P49 X5.\nG0 X1.\n")
    assert [entry.line for entry in found.unread] == [3]
    assert (xs(found), found.end) == ([], "refused")


@pytest.mark.parametrize(
    ("text", "line"),
    [("G31 X9. F50.\n", 2), ("G1 X5. ,R2. F100.\n", 2), ("M98 P50002\nM30\nO2\nM99\n", 2), ("G10 L2 P0 X5.\n", 2)],
)
def test_what_is_not_worked_out_is_said_at_its_line(text: str, line: int) -> None:
    assert line in [first for first, _, _ in reading(text).unmodelled]


@pytest.mark.parametrize("text", ["G65 P9010 A2. X5.\n", "M98 P9010\n", "M198 P9010\n", "M98 P59010\n"])
def test_behind_a_program_kept_elsewhere_nothing_is_known(text: str) -> None:
    """Not even where an axis goes, until units and distance are said again and all that bends its way is off."""
    found = reading(f"G0 X1.\n{text}G0 X2.\n#600=#500\nIF [#600 EQ 1] GOTO 9\nN9 G0 X3.\n")
    assert xs(found)[:2] == [1.0, None]
    assert [line for line, _, _ in found.lost] == [3]
    assert found.end == "unknown"


def test_a_modal_call_runs_behind_every_move_until_it_ends() -> None:
    found = reading("G66 P9010 A1. F5.\nX5.\nG0 X6.\nG67\nG0 X7.\n")
    assert found.unread == []
    assert [step.line for step in found.steps if isinstance(step, Aux)] == [3, 4]
    assert [line for line, _, _ in found.lost] == [2, 3, 4, 5]
    assert [(first, last) for first, last, _ in found.unmodelled] == [(2, 5)]


def test_a_pause_shows_its_message_and_goes_on() -> None:
    found = reading("#3006=1 (CHANGE THE WHEEL)\nG0 X1.\n")
    assert [type(step) for step in found.steps[:2]] == [Stop, Move]
    assert (found.unread, found.unmodelled) == ([], [])
    assert read("N1 #3006=1 (NO WHEEL)\nGOTO 1\n", HASH).end == "refused"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("G65 A2.\n", "G65 wants the number of a program after P"),
        ("G91 G65 P9010 A2.\n", "G beside G65 is not read"),
        ("G65 P9010 A1. A2.\n", "A beside G65 is not read"),
        ("G5.1 Q1 X0. Y0.\n", "G5.1 is no word of this control beside axis words"),
    ],
)
def test_what_is_not_read_is_named(text: str, why: str) -> None:
    assert why in [entry.why for entry in reading(text).unread]


def test_a_value_of_a_call_without_its_point_is_not_known() -> None:
    """Some controls count it in the last decimal place."""
    assert xs(reading("G65 P9010 A2\nM30\nO9010\nG0 X#1\nM99\n")) == [None]
