"""The fast tier does what the slow one does, on programs made to fall between them."""

from __future__ import annotations

import re
import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gen.control.folders import load_control
from gen.control.model import Control
from gen.reader import Budget, ReadState, lower, run
from gen.reader.alike import patterns_of
from gen.reader.program import Columns, PlainLines
from gen.reader.spread import Spread
from told_backwards import in_force

CONTROLS = {name: load_control(name) for name in ("rs274ngc", "hash-variables", "r-variables", "iso6983")}
_PLAIN = CONTROLS["iso6983"]
CONTROLS["scaled"] = _PLAIN.model_copy(update={"numbers": _PLAIN.numbers.model_copy(update={"point": "scaled"})})
_NARROW = {"letters": " -Z", "line_length": 80}
CONTROLS["narrow"] = _PLAIN.model_copy(update={"lexis": _PLAIN.lexis.model_copy(update=_NARROW)})

VALUES = st.sampled_from(
    [
        *("0", "-0", "1", "1.", "-.5", "+2.25", " 3.5", "- 4", "1 0", "00.10", "7.125", "12.5", "80.", "0.0"),
        *("", ".", "1.2.3", "--1", "+-1", "1e3", "[1+2]", "#1", "123456789012345678", "0.1234567890123", "9" * 400),
    ]
)
LETTERS = st.sampled_from([*"XXXYYYZZZUVWF", *"GNAxyfSP"])
LOOSE = st.lists(st.tuples(LETTERS, VALUES, st.sampled_from(["", " ", "\t"])), min_size=1, max_size=4).map(
    lambda words: "".join(letter + value + gap for letter, value, gap in words)
)
GOOD = st.decimals(-200, 200, places=3).map(lambda value: f"{value:f}")
TIDY = st.builds(
    lambda label, code, axes, feed: " ".join([*label, *code, *(axis + value for axis, value in axes), *feed]),
    st.sampled_from([[], [], ["N10"], ["N 20"], ["n30"]]),
    st.sampled_from([[], [], ["G0"], ["G1"], ["G01"], ["g 1"], ["G00"], ["G1.0"], ["G001"], ["G2"]]),
    st.lists(st.tuples(st.sampled_from("XYZU"), GOOD), min_size=1, max_size=3),
    st.sampled_from([[], [], ["F100"], ["F2.5"], ["F-1"], ["F.5"]]),
)
OTHER = st.sampled_from(
    [
        *("G90", "G91", "G20", "G21", "G94", "G93", "G54", "G55", "G92 X1.", "G92.2", "G92.1", "G53 G0 X1.", "G80"),
        *("G40", "G43 H1", "G49", "G41 D1", "G81 Z-1. R1.", "M3 S100", "G10 L2 P2 X5. Y1.", "G28 X0", "G2 I1."),
        *("(MSG, x)", "(note)", "; note", "", "  ", "%", "M0", "T1", "/X1.", "#1=4", "é X1.", "\x00", "X1.\rY2."),
        *("GOTO 10", "M2", "M99", "G4 P1", "o1 if [1]", "o1 endif"),
        *("GOTOF AB", "GOTOB AB", "AB: X1", 'MSG("x")', "TRANS", "TRANS X1", "SUPA G0 X1", "MCALL", "D1", "R1=4 X=R1"),
    ]
)
FILLED = st.sampled_from(["0.", "-0.", "1.5", " 2.25", "-.5", "3", "", "7.\t", "1 0", "+4."])
ALIKE = st.builds(
    lambda letters, rows: "\n".join("".join(map("".join, zip(letters, row, strict=False))) for row in rows),
    st.sampled_from(["NGXYZA", "XY", "GXF", "NXA", "A", "GABF", "XUW"]),
    st.lists(st.lists(st.just("1.") | FILLED, min_size=6, max_size=6), min_size=4, max_size=7),
)
"""Lines of one shape in a row, most of them plain, which are taken apart together."""
PROGRAMS = st.lists(LOOSE | TIDY | TIDY | OTHER | ALIKE, max_size=25).map("\n".join)


@settings(max_examples=300, deadline=None)
@given(PROGRAMS, st.sampled_from(sorted(CONTROLS)), st.booleans(), st.integers(1, 40))
@example("X0\ng 1 X0.000\nX0.000 F100\nX0\nG28 X0", "hash-variables", False, 4)  # a feed that was not told until then
@example("X0F-0", "hash-variables", False, 1)
@example("G1 X1. F100.\nx2.\nX3.\tY4.\nX5." + 80 * " " + "Y6.", "narrow", False, 9)  # none of which it takes
@example("\n".join(["G1 X1. F100."] * 5 + ["g1 x2. f100."] * 5 + ["X3.\tY4."] * 5), "narrow", False, 30)
def test_both_tiers_agree(text: str, name: str, past: bool, steps: int) -> None:
    control = CONTROLS[name]
    state = ReadState(positions={"X": 1.5, "Z": -2.0}, offsets={"G55": {"X": 10.0}, "G54": {"U": 1.0}})
    budget = Budget(steps=steps, jumps=50)
    fast, slow = (run(lower(text, control, fast=tier), state, past_stops=past, budget=budget) for tier in (True, False))
    assert fast == slow
    assert not re.search(r"-0\.0(?!\d)", repr(fast.steps))


WRITTEN = st.sampled_from(
    ["1.5", "-1.5", "+2.", "0.", "-0.", ".25", "-.5", "7", "-7", "1.5.", "1. 5", "", "00.1", "12.5"]
)
PATTERNS = (
    *("N{}0 G2 X{} Z{} R{} F{}", "G3 X{} Y{} I{} J{}", "G1 X[{}+#5*{}] F{}", "X[-{}*[#5-{}]]", "#5=[#5+{}]", "#5={}"),
    *(
        "#5=-{} (x{})",
        "N5 G4 P{} (A REST X{})",
        "G10 L[{}] P[{}] X{}",
        "M66 P[{}] L[{}]",
        "G[{}] X{}",
        "G1 X{}Y{} ; Z{}",
    ),
    *(
        "R1={} X{}",
        "R5=-{}",
        "X=R1+{} Y={}",
        "G2 X{} CR={}",
        "X=AC({}) Y{}",
        "x{} y{}",
        "G92 X{} Y{}",
        "/N{} X{}",
        "M3 S{}",
    ),
    *(
        "G53 G0 X{}",
        "G91 X{} Y{}",
        "G90 X{}",
        "#[{}]={}",
        "X#5 Y{} I{}",
        "G1 X{} F{} M0",
        "G04 X{}",
        "X[ATAN[{}]/[{}]]",
    ),
)


@settings(max_examples=300, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(PATTERNS), st.lists(WRITTEN, min_size=12, max_size=12)), max_size=6),
    st.sampled_from(sorted(CONTROLS)),
)
def test_a_line_that_is_an_earlier_one_with_other_numbers(drawn: list[tuple[str, list[str]]], name: str) -> None:
    """Every pattern two or three times, so that the later lines are made from what was learned of the first."""
    lines = [pattern.format(*numbers[at:]) for pattern, numbers in drawn for at in (0, 3, 6)]
    text = "\n".join(["G21 G90 G94 G17 F100.", "X0. Y0. Z0.", *lines, "M2"])
    state = ReadState(registers={5: 2.0, 1: -1.5})
    fast, slow = (lower(text, CONTROLS[name], fast=tier) for tier in (True, False))
    assert run(fast, state) == run(slow, state)
    numbered = ({n: [one.code[at].line for at in places] for n, places in one.labels.items()} for one in (fast, slow))
    assert next(numbered) == next(numbered)


def test_a_pattern_is_learned_from_its_first_line() -> None:
    control = load_control("rs274ngc")
    first = ["N10 G2 X1.5 Y0. R20. F100.", "G1 X[1.5+#5*2] F120.", "#5=[#5+0.25]", "G4 P0.1 (A REST)"]
    lower("\n".join(first), control)
    again = (("N20 G2 X-2. Y0.5 R25. F90.", 20), ("G1 X[3.5+#5*4] F130.", None), ("#5=[#5+0.5]", None))
    for line, label in (*again, (first[-1], None)):
        found = patterns_of(control).block(7, line)
        assert found is not None
        assert found[1] == label
    assert patterns_of(control).block(7, "G1 X[3.5+#6*4] F130.") is None


@pytest.mark.parametrize("odd", ["5 N3 G1 X1. A2.", "N3 G1 X A2.", "N3. G1 X1. A2.", "N3 G2 X1. A2.", "N-3 G1 X1. A2."])
@pytest.mark.parametrize("place", [0, 2, 5])
def test_one_odd_line_among_many_alike(odd: str, place: int) -> None:
    """An odd line must not lend its numbers to the line before or behind it."""
    plain = [f"N{n} G1 X{n}.5 A{n}." for n in range(1, 6)]
    text = "\n".join(["G21 G90 G94 G17 F100.", *plain[:place], odd, *plain[place:], "M2"])
    fast, slow = (run(lower(text, CONTROLS["rs274ngc"], fast=tier)) for tier in (True, False))
    assert fast == slow


def test_the_fast_tier_is_there() -> None:
    """A tier that always stood aside would agree too."""
    shapes = lower("G21 G90 G94 G17\nG1 X1 Y2 F100\nX3.5\nN5 g01 z-1\nG0 U5\n", CONTROLS["rs274ngc"])
    assert [len(item.items) for item in shapes.code if isinstance(item, PlainLines)] == [4]
    alike = lower("G21 G90 F100\n" + "N5 G1 X1. Y2. Z-3.5 A90.\n" * 9000 + "X4.\n", CONTROLS["iso6983"])
    assert sum(len(item.values[0]) for item in alike.code if isinstance(item, Columns)) == 9000
    steps = run(alike).steps
    assert isinstance(steps, Spread)
    assert len(steps) == 9001


@pytest.mark.parametrize("name", sorted(CONTROLS))
@pytest.mark.parametrize("before", ["", "G91", "G20 F3.", "G20", "G92 X1.", "G1 F77.", "G0", "X1. Y1."])
def test_columns_are_what_the_slow_tier_makes_of_them(name: str, before: str) -> None:
    """With a feed in each line or none, from known and unknown positions, in each frame, and pieced together."""
    for shape in ("N{0} G1 X{0}.5 Y-{0}. F{0}00.", "X-.{0} Z0.", "G0{1} Y{0}.0 A{0}.", "g01X{0}.y-0."):
        alike = [shape.format(n, n % 2) for n in range(1, 8)]
        text = "\n".join(["G90 G94 G17", before, *alike, "X5. Z2.", "G1 F10. X6.", *alike, "M2"])
        fast, slow = (run(lower(text, CONTROLS[name], fast=tier)) for tier in (True, False))
        assert fast == slow


@pytest.mark.parametrize("name", sorted(CONTROLS))
def test_a_long_host_is_read_quickly(name: str) -> None:
    """Many times what it takes on an idle machine; a reader that goes over its lines again and again takes minutes."""
    control: Control = CONTROLS[name]
    lines = [f"X{n % 100}.125 Y{n % 77}.5" if n % 3 else f"G1 X{n % 50}.25 Z-1.5 F200" for n in range(120_000)]
    text = "\n".join([f"{control.word('units', 'mm')} G90 G94 G17", *lines, "M2"])
    begin = time.process_time()
    reading = run(lower(text, control))
    assert time.process_time() - begin < 8.0
    assert (len(reading.steps), reading.end, reading.unread) == (120_001, "end", [])


@pytest.mark.parametrize("step", range(31))
def test_what_is_in_force_is_the_same_whether_steps_are_written_out_or_not(step: int) -> None:
    """Before every step of a program with stretches of several shapes, and what stands between and behind them."""
    control = CONTROLS["rs274ngc"]
    fed, bare = ([f"{g}X{n}. {f}" for n in range(1, 6)] for g, f in (("G1 ", "F7."), ("", "Z-1.")))
    lines = ["G21 G90 G94 G17 X0. Y0.", *fed, "M7", "G0 A3.", *bare, "G55", *fed, "M9", *fed, "G91", *bare, "M2"]
    long, short = (run(lower("\n".join(lines), control, fast=fast)) for fast in (True, False))
    assert isinstance(long.steps, Spread)
    assert in_force(long, step, control, {"Y": 1.0}) == in_force(short, step, control, {"Y": 1.0})
    for group in ("motion", "feed", "distance"):
        assert long.last_stated(group, step) == short.last_stated(group, step)


@pytest.mark.parametrize("line", range(1, 32))
def test_what_the_run_knew_on_the_way_is_what_its_steps_tell_afterwards(line: int) -> None:
    """At the entry and the exit of every line, among plain lines taken together too; both tiers the same."""
    control = CONTROLS["rs274ngc"]
    fed, bare = ([f"{g}X{n}. {f}" for n in range(1, 6)] for g, f in (("G1 ", "F7."), ("", "Z-1.")))
    lines = ["G21 G90 G94 G17 G0 X0. Y0.", *fed, "M7", "G0 A3.", *bare, "G55", *fed, "M9", *fed, "G91", *bare, "M2"]
    text = "\n".join(lines)
    state = ReadState(positions={"Y": 1.0})
    fast, slow = (
        run(lower(text, control, fast=tier), state, window=(range(line, line + 1),)) for tier in (True, False)
    )
    assert fast == slow == run(lower(text, control), state)
    for one in (fast, slow):
        (window,) = one.windows
        steps = [number for number, step in enumerate(one.steps) if step.line == line]
        assert (window.entry.step, window.leaving.step) == (steps[0], steps[-1] + 1) if steps else True
        assert window.entry.in_force == in_force(slow, window.entry.step, control, {"Y": 1.0}, lambda at: at < line)
        assert window.leaving.in_force == in_force(
            slow, window.leaving.step, control, {"Y": 1.0}, lambda at: at <= line
        )
    assert fast.windows[0].entry.in_force == slow.windows[0].entry.in_force
