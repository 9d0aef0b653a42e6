"""Plain moves around a block may be left out of a reading: what the block begins with and does is the same."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gen.control.folders import load_control
from gen.reader import Budget, Reading, lower, run
from gen.reader.program import PlainLines
from gen.reader.thinned import thinned
from told_backwards import in_force

BLOCK = ["G53 G0 U0", "G0 X1 Y[#501+1]", "G1 Z7 F50", "G53 G0 U0"]
AROUND = [
    *("G0 X1 Y2", "G1 Z3 F100", "X4", "Y5 Z6 F200", "G1 A30", "G0 Z9", "X7 Y7"),
    *("G1 X2 Y2 Z2 F80", "X3", "Y1", "G2 X5 Y5 I1", "G54", "G55", "G20", "G21", "#7 = [#7+1]", "M8", "G17", "G43 H1"),
]
FLOW = {
    "hash-variables": ["IF [#7 GT 2] GOTO 90", "N90 X8", "WHILE [#7 LT 3] DO 1", "END 1"],
    "rs274ngc": ["O7 while [#7 LT 3]", "O7 endwhile", "O8 if [#7 GT 1]", "O8 endif", "/ X50", "N30 G1 Y4"],
}


def around(name: str) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(AROUND + FLOW[name]), max_size=14)


@pytest.mark.parametrize("name", FLOW)
@given(data=st.data())
def test_what_is_left_out_changes_nothing_in_the_block(name: str, data: st.DataObject) -> None:
    before, after = data.draw(around(name)), data.draw(around(name))
    first, last = len(before) + 2, len(before) + 1 + len(BLOCK)
    control = load_control(name)
    full = lower("\n".join(["G21 G90 G94 G17 G1 F10 X0 Y0 Z0", *before, *BLOCK, *after, "M2", ""]), control)
    readings = [run(code, budget=Budget(jumps=20)) for code in (full, thinned(full, first, last))]

    def inside(reading: Reading) -> list[int]:
        return [number for number, step in enumerate(reading.steps) if first <= step.line <= last]

    one, other = ([reading.steps[number] for number in inside(reading)] for reading in readings)
    assert one == other
    if one:
        begun = [in_force(reading, inside(reading)[0], control, {}) for reading in readings]
        assert begun[0] == begun[1]


def test_of_a_long_run_of_moves_little_is_left() -> None:
    run_of_moves = [f"G1 X{n} Y{n} Z{n} F{n}" for n in range(1, 500)]
    code = lower("\n".join(["G90 G21", *run_of_moves, *BLOCK, *run_of_moves, "M2"]), load_control("rs274ngc"))
    kept = thinned(code, 501, 504)
    assert sum(len(item.items) for item in kept.code if isinstance(item, PlainLines)) <= 4


def test_moves_in_steps_are_all_kept() -> None:
    code = lower("G91\nG1 X1 F10\nX1\nX1\nG90\nG53 G0 U0\nM2\n", load_control("rs274ngc"))
    assert thinned(code, 6, 6) is code
