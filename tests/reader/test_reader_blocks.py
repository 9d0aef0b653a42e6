"""Single blocks and short programs: what they do, what is named unread, what is not worked out."""

from __future__ import annotations

import pytest

from gen.control.folders import load_control
from gen.control.model import Control
from gen.control.own_words import respelled
from gen.plan.step import Aux, Coolant, Dwell, ModeChange, Move, RegisterRead, Spindle, Step, Write
from gen.reader import Reading, ReadState, read

NGC, HASH, ISO = (load_control(name) for name in ("rs274ngc", "hash-variables", "iso6983"))
ZERO = ReadState(positions={"X": 0.0, "Y": 0.0, "Z": 0.0})


def steps(text: str, control: Control = NGC, state: ReadState = ZERO) -> list[Step]:
    return list(read(text, control, state).steps)


def moves(text: str, control: Control = NGC, state: ReadState = ZERO) -> list[Move]:
    return [step for step in steps(text, control, state) if isinstance(step, Move)]


def unread(reading: Reading) -> list[tuple[int, str]]:
    return [(entry.line, entry.why) for entry in reading.unread]


def test_unknown_axes_stay_out_and_known_ones_stay_in() -> None:
    found = moves("G21 G90 G94\nG1 U5. F60.\nG0 X1.\n", HASH, ReadState(positions={"Z": 7.0}))
    assert [move.to for move in found] == [{"Z": 7.0, "U": 5.0}, {"Z": 7.0, "U": 5.0, "X": 1.0}]
    assert [move.axes for move in found] == [("U",), ("X",)]
    lost = moves("G91 G1 U5. F60.\nG90 U2.\nG91 U1.\n", HASH, ReadState())
    assert [move.to for move in lost] == [{}, {"U": 2.0}, {"U": 3.0}]


def test_frames() -> None:
    text = "G0 X1\nG53 X2\nX3\nG91 X1\nG90 G59 X1\nG53 X0\nG54 X5\n"
    found = moves(text, NGC, ReadState(positions={"X": 0.0}, offsets={"G59": {"X": 100.0}}))
    assert [(move.to["X"], move.frame) for move in found] == [
        (1, "work"),
        (2, "machine"),
        (3, "work"),
        (4, "incremental"),
        (101, "G59"),
        (0, "machine"),
        (5, "work"),
    ]


def test_machine_coordinates_have_no_meaning_in_incremental_mode() -> None:
    reading = read("G91 G0\nG53 X5\n", NGC, ZERO)
    assert reading.steps == []
    assert unread(reading) == [(2, "a move in machine coordinates has no meaning while moves are incremental")]


def test_inch_words_become_mm_but_degrees_stay() -> None:
    found = moves("G20 G90 G94\nG1 X1 A90 F10\nA45 F30\nG21 X1\n")
    assert [(move.to["X"], move.to["A"], move.rate) for move in found] == [
        (25.4, 90.0, 254.0),
        (25.4, 45.0, 30.0),
        (1.0, 45.0, 762.0),
    ]


def test_feed_modes() -> None:
    text = "G94 G1 X10. F100\nG93 X20. F3\nX30.\nG95 X40. F0.2\nM3 S500\nX50.\nG94 X60.\nX70. F50\n"
    assert [move.rate for move in moves(text, HASH)] == [100.0, 30.0, None, None, 100.0, None, 50.0]
    stops = read(text, NGC, ZERO)
    assert [move.rate for move in stops.steps if isinstance(move, Move)] == [100.0, 30.0]
    assert (stops.end, [entry.line for entry in stops.unread]) == ("refused", [3])


def test_spindle_words() -> None:
    assert steps("S500\nM3\nS600\nM4 S700\nM5\nS800\n") == [
        Spindle(2, 500.0, "cw"),
        Spindle(3, 600.0, "cw"),
        Spindle(4, 700.0, "ccw"),
        Spindle(5, 0.0, "off"),
    ]


def test_coolant_overrides_and_waits() -> None:
    assert steps("M8\nM9\nM49\nM48\nM66 P0 L0\nM7\nT1 M6\n") == [
        Coolant(1, True),
        Coolant(2, False),
        Aux(3, "M49", "override-lock"),
        Aux(4, "M48", "override-free"),
        Aux(5, "M66 P0 L0", "synchronise"),
        Aux(6, "M7"),
        Aux(7, "M6"),
        Aux(7, "T1"),
        Spindle(7, 0.0, "off"),
    ]


@pytest.mark.parametrize(
    ("text", "control", "seconds"),
    [
        ("G4 P1.5", NGC, 1.5),
        ("G04 X1.5", HASH, 1.5),
        ("G4 P1500", HASH, 1.5),
        ("G4 U2.", HASH, 2.0),
        ("G4 X3.", ISO, 3.0),
        ("G4 F2.5", ISO, 2.5),
        ("G4 P250.", respelled(HASH, {"dwell_word": "P", "dwell_unit": "s"}), 250.0),
    ],
)
def test_dwells(text: str, control: Control, seconds: float) -> None:
    reading = read(text, control)
    assert reading.steps == [Dwell(1, seconds)]
    assert (reading.unread, reading.unmodelled) == ([], [])


def test_a_dwell_of_nothing_waits_where_the_control_says_so() -> None:
    assert steps("G4 X0", HASH) == [Aux(1, "G4 X0", "synchronise")]
    assert steps("G4 X0", ISO) == [Dwell(1, 0.0)]


def test_a_machines_own_codes() -> None:
    own = respelled(HASH, {"coolant_on": "M108", "feeder_on": "M77", "synchronise": "M97"})
    assert steps("M108\nM77\nM97\n", own) == [
        Coolant(1, True),
        Aux(2, "M77", "feeder-on"),
        Aux(3, "M97", "synchronise"),
    ]
    assert unread(read("M8", own)) == [(1, "M8 is no word of this control")]


def test_mode_changes_say_line_and_step() -> None:
    reading = read("G21 G90\nG1 X1 F100\nX2\nG20 F2\n", NGC, ZERO)
    assert reading.changes == [
        ModeChange(0, 1, "units", "mm"),
        ModeChange(0, 1, "distance", "absolute"),
        ModeChange(0, 2, "feed", "100"),
        ModeChange(0, 2, "motion", "feed"),
        ModeChange(2, 4, "feed", "2"),
        ModeChange(2, 4, "units", "inch"),
    ]
    assert reading.modes["units"] == ("inch", 4)
    assert reading.modes["motion"] == ("feed", 2)
    assert reading.modes["plane"] == ("xy", None)


def test_a_feed_beside_a_unit_that_was_inherited_is_unproven() -> None:
    """Feed acts before units in NIST IR 6556's order; were the control in inches, F100 would be in inches."""
    assert [entry[:2] for entry in read("G21 G90 G94 G1 X1 F100\n", NGC).unmodelled] == [(1, 1)]
    assert read("G21\nG21 G90 G94 G1 X1 F100\n", NGC).unmodelled == []


def test_reads_and_writes_of_registers() -> None:
    text = "#1=[#501+#502]\nG0 X#1\n#502=[#1-1]\n"
    state = ReadState(registers={501: 5.0, 502: 2.0})
    reading = read(text, NGC, state, registers={502})
    assert [step for step in reading.steps if isinstance(step, Write)] == [Write(3, 502, 6.0)]
    assert reading.reads == [
        RegisterRead(0, 1, 501),
        RegisterRead(0, 1, 502),
        RegisterRead(0, 2, 1),
        RegisterRead(1, 3, 1),
    ]
    assert [step.register for step in read(text, NGC, state).steps if isinstance(step, Write)] == [1, 502]


def test_empty_variables() -> None:
    reading = read("#1=#0\nG90 G0 X#1 Y2.\n#501=#0\n", HASH, ZERO, registers={501})
    assert [step.to for step in reading.steps if isinstance(step, Move)] == [{"X": 0.0, "Y": 2.0, "Z": 0.0}]
    assert reading.unmodelled == [(3, 3, "the variable 501 is emptied")]


@pytest.mark.parametrize(
    ("text", "control", "first", "last", "what"),
    [
        ("G41 D1\nG1 X1 F10\nG40\n", NGC, 1, 3, "G41 (compensation)"),
        ("G43 H1\nG0 Z1\n", NGC, 1, 2, "G43 (tool length)"),
        ("G81 X1 Z-5 R2\nX2\nG80\n", NGC, 1, 3, "G81 (cycle)"),
        ("G68 X0. Y0. R30.\nG0 X1.\nG69\n", HASH, 1, 3, "G68 (rotation)"),
        ("G96 S200 M3\nG97 S500\n", HASH, 1, 2, "G96 (spindle mode)"),
        ("#5221=5\n", NGC, 1, 1, "#5221 is written: a variable of the control's own state"),
        ("G28 X0\n", NGC, 1, 1, "X goes to a reference position that is not given here"),
        ("G0 X5\n", HASH, 1, 1, "X5 has no decimal point: some controls count in the last decimal place"),
    ],
)
def test_what_is_known_but_not_worked_out(text: str, control: Control, first: int, last: int, what: str) -> None:
    assert (first, last, what) in read(text, control, ZERO).unmodelled


def test_a_home_is_where_the_order_of_the_axes_says() -> None:
    """Variables that follow each other count axes in the order of the control's table; one not in it has none."""
    assert NGC.variables is not None
    rules = NGC.variables.model_copy(update={"axis_order": "ZXYABCUVW"})
    control = NGC.model_copy(update={"axes": "XYZABCUVWE", "variables": rules})
    homes = ReadState(registers={5161: 7.0, 5162: 8.0}, positions={"X": 0.0, "Z": 0.0, "E": 0.0})
    (move,) = read("G28", control, homes).steps
    assert isinstance(move, Move)
    assert move.to == {"X": 8.0, "Z": 7.0}


def test_positions_are_lost_rather_than_guessed() -> None:
    assert moves("G43 H1\nG0 Z1\nG49 X1\nZ2\n")[0].to == {"X": 0.0, "Y": 0.0}
    assert moves("G43 H1\nG0 Z1\nG49 X1\nZ2\n")[-1].to == {"X": 1.0, "Y": 0.0, "Z": 2.0}
    assert moves("G81 X1 Y1 Z-5 R2\nX2\nG80\nG0 X3\n") == [Move("rapid", 4, {"X": 3.0}, None, ("X",), "work")]
    assert moves("G28 X5\nG91 G0 X1\n")[-1].to == {"Y": 0.0, "Z": 0.0}
    assert moves("G123 X5\nG91 G0 X1\n")[-1].to == {"Y": 0.0, "Z": 0.0}
    assert moves("G92 U5\nG0 U1\n", HASH)[-1].to == {"X": 0.0, "Y": 0.0, "Z": 0.0}


@pytest.mark.parametrize(
    ("text", "control", "why"),
    [
        ("X1", NGC, "axis words stand here, but no motion code is in force"),
        ("G80 X1", NGC, "axis words stand here, but no motion code is in force"),
        ("G0 X1 Q5", NGC, "no code of this line takes Q"),
        ("G0 X1 P1 Q5", NGC, "no code of this line takes P and Q"),
        ("M200", NGC, "M200 is no word of this control"),
        ("G0 X1 X2", NGC, "X stands twice in this line"),
        ("G0 G1 X1 F1", NGC, "two words of one group, motion, in a line"),
        ("G10 L3 P1 X1", NGC, "only L1, L2, L10, L11 or L20 with P, and no rotation, is read"),
        ("G10 L20 P1 X1 R5", NGC, "only L1, L2, L10, L11 or L20 with P, and no rotation, is read"),
        ("G2 X1 Y1", NGC, "an arc wants its centre or its radius"),
        ("G2 X1 Y1 K1", NGC, "K cannot give the centre of an arc in this plane"),
        ("G2 X1 Y1 I5", NGC, "the end is not on the arc: radius 5.0000 at its start, 4.1231 at its end"),
        ("G2 X9 R1", NGC, "no arc of radius 1.0000 reaches its end, 9.0000 away"),
        ("G53 G2 X1 Y1 I1", NGC, "an arc cannot be in machine coordinates"),
        ("G4", NGC, "a dwell wants one of the words P"),
        ("G53", NGC, "the word for machine coordinates wants axis words in its line"),
        ("#1=5", ISO, "a letter is wanted before '#1=5'"),
        ("GOTO 5", ISO, "a number is wanted, not 'OTO5'"),
        ("G1 X[1+2]", ISO, "a number is wanted, not '[1+2]'"),
        ("G1 X1 (open", NGC, "a letter is wanted before '(OPEN'"),
        ("#5", NGC, "a variable stands here without ="),
        ("S-5", NGC, "the control stops here: F and S cannot be negative"),
        ("#0=5", HASH, "the control stops here: no variable that may be used here has the number 0"),
        ("M66 P1 L3 K1", NGC, "no code of this line takes K"),
    ],
)
def test_what_is_not_understood_is_named(text: str, control: Control, why: str) -> None:
    assert (2, why) in unread(read(f"\n{text}\n", control, ZERO))


def test_reading_goes_on_behind_what_is_not_understood() -> None:
    assert [move.to["X"] for move in moves("G0 X1\nWHAT IS THIS?\nX2\nM77\nX3\n")] == [1.0, 2.0, 3.0]


def test_what_a_shop_file_has() -> None:
    text = "%\r\n\r\n(PART 5)\r\nn0010 g21 g90 g00 x 1.0 y - 2.5\r\n\tN20G01Z-.5F0100.\r\n%\r\n"
    reading = read(text, NGC, ZERO)
    assert [(step.op, step.line) for step in reading.steps] == [("rapid", 4), ("feed", 5)]
    assert reading.steps[1] == Move("feed", 5, {"X": 1.0, "Y": -2.5, "Z": -0.5}, 100.0, ("Z",), "work")
    assert (reading.unread, reading.end) == ([], "text")


def test_nothing_runs_behind_the_end_of_the_tape() -> None:
    reading = read("%\nG0 X1\n%\nG0 X2\n", NGC, ZERO)
    assert [step.line for step in reading.steps] == [2]
    assert unread(reading) == [(4, "this stands after the end of the tape")]


def test_numbers_counted_in_the_last_place() -> None:
    scaled = HASH.model_copy(update={"numbers": HASH.numbers.model_copy(update={"point": "scaled"})})
    found = moves("G21 G90 G1 X5000 Y1.5 F100\nG20 X5000\nG0 X0\n", scaled)
    assert [move.to["X"] for move in found] == [5.0, pytest.approx(12.7), 0.0]
    assert found[0].to["Y"] == 1.5


def test_metric_and_inch_words_of_the_standard() -> None:
    assert read("G71 G90\nG70\n", ISO).modes["units"] == ("inch", 2)


def test_a_run_starts_afresh_each_time() -> None:
    state = ReadState(positions={"X": 1.0}, registers={1: 2.0}, offsets={"G54": {"X": 1.0}})
    text = "#1=[#1+1]\nG10 L2 P1 X5\nG0 X#1\n"
    assert read(text, NGC, state).steps == read(text, NGC, state).steps
    assert (state.positions, state.registers, state.offsets) == ({"X": 1.0}, {1: 2.0}, {"G54": {"X": 1.0}})
