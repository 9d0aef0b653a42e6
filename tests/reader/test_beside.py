"""What two readings do, side by side: of moves that are the same in both, one pair stands for a row of them."""

from __future__ import annotations

import re

from hypothesis import example, given, settings
from hypothesis import strategies as st

from gen.control.folders import load_control
from gen.plan.step import Dwell, Move, Step
from gen.reader import Reading, ReadState, lower, run

CONTROL = load_control("rs274ngc")
STATE = ReadState(positions={"X": 1.5, "A": 3.0}, offsets={"G55": {"X": 10.0, "Z": -4.0}})
HEADS = st.lists(
    st.sampled_from(["G20", "G21", "G54", "G55", "F9.", "F30.", "G0", "G1 F30.", "G0 X8.", "G0 A2.", "G91", "G92 X1."]),
    max_size=4,
)
VALUES = {"N": ["7"], "G": ["0", "1"], "F": ["9.", "30."]}
ROWS = st.sampled_from(["XZ", "GXZ", "XZF", "NGXZ", "GXZF", "X", "NZ", "YF", "GA", "XYZ"]).flatmap(
    lambda shape: st.lists(
        st.tuples(
            *(
                st.sampled_from([letter + value for value in VALUES.get(letter, ["0.", "-1.5", "8."])])
                for letter in shape
            )
        ).map(" ".join),
        min_size=1,
        max_size=12,
    )
)
BODIES = st.lists(ROWS, min_size=1, max_size=3).map(lambda runs: [row for rows in runs for row in rows])

EDITS = st.sampled_from([("Z", "Y"), (" ?F.*", ""), (" ?G[01]", ""), ("^X", "G1 X"), ("$", " F30.")])
"""A word of every line that becomes another."""
ROW = ["X0. Z0.", *["X8. Z-1.5"] * 7]


def behind(head: list[str], body: list[str], cut: int) -> tuple[Reading, range]:
    """A reading, in pieces that are ``cut`` at some line, and its steps behind a wait at the end of ``head``."""
    lines = ["G21 G90 G94 G1 F12.", *head, "G4 P1", *body]
    reading = run(lower("\n".join(lines), CONTROL), STATE, window=(range(cut, cut + 3),))
    waits = next(index for index, step in enumerate(reading.steps) if isinstance(step, Dwell))
    return reading, range(waits + 1, len(reading.steps))


def parted(was: Step, now: Step) -> object:
    """In what two steps differ, their lines aside."""
    if not (isinstance(was, Move) and isinstance(now, Move)):
        return was, now
    places = {axis: (was.to.get(axis), now.to.get(axis)) for axis in was.to.keys() | now.to.keys()}
    elsewhere = {axis: both for axis, both in places.items() if both[0] != both[1]}
    return was.op == now.op, was.axes == now.axes, was.frame == now.frame, was.rate == now.rate, elsewhere


@settings(max_examples=300, deadline=None)
@given(HEADS, HEADS | st.none(), BODIES, EDITS | st.none(), BODIES, st.tuples(*[st.integers(0, 30)] * 4))
@example([], ["G20"], ROW, None, [], (0, 0, 30, 30))
@example([], ["G55"], ROW, None, [], (0, 0, 30, 30))
@example([], ["F30."], ["G0 X0.", *["G1 X8."] * 7], None, [], (0, 0, 30, 30))
@example([], None, ROW, ("Z", "Y"), [], (0, 0, 30, 30))
@example([], None, ROW, ("^X", "G1 X"), [], (0, 0, 30, 30))
@example([], None, ROW, ("$", " F30."), [], (0, 0, 30, 30))
@example([], ["G0 A2."], ROW, None, ["X0. Z0."], (6, 1, 30, 9))
def test_a_pair_that_is_left_out_differs_as_the_one_before_it(
    head: list[str],
    other_head: list[str] | None,
    body: list[str],
    edit: tuple[str, str] | None,
    more: list[str],
    places: tuple[int, int, int, int],
) -> None:
    """Two programs that begin alike or not, the second with a word of every line changed, and with lines more."""
    at, count, cut, other_cut = places
    edited = [re.sub(*edit, row) for row in body] if edit else body
    edited = [*edited[:at], *more[: count % 3], *edited[at:]]
    one, run_ = behind(head, body, cut + 1)
    other, there = behind(head if other_head is None else other_head, edited, other_cut + 1)
    shown = list(one.beside(run_, other, there))
    stands: tuple[Step, Step] | None = None
    for was, now in zip(one.steps[run_.start :], other.steps[there.start :], strict=False):
        if shown and (was, now) == shown[0]:
            stands = shown.pop(0)
            continue
        assert stands is not None
        assert parted(was, now) == parted(*stands)
        assert isinstance(was, Move)
        assert isinstance(stands[0], Move)
        assert (was.axes, was.frame) == (stands[0].axes, stands[0].frame)
        assert was.frame != "incremental"
    assert shown == []


def test_a_long_run_is_told_by_few_pairs_wherever_it_stands_in_either_text() -> None:
    body = [f"N{number} G1 X{number}. Z-{number}.5 F{number % 7 + 1}." for number in range(1, 2001)]
    (one, run_), (other, there) = behind([], body, 100), behind(["G0 A2.", "G1"], body, 900)
    shown = list(one.beside(run_, other, there))
    assert len(run_) == len(body)
    assert len(shown) < 20
