"""Ten faults and more a control, planted in the text one at a time: the right rule fires, at the right line."""

from __future__ import annotations

from pathlib import Path

import pytest

from .mixed import NAME
from .planted import Edit, change, drop, move, place, program, rules_at

Fault = tuple[str, Edit, str]
"""What is wrong, how it comes about, and the rule that says so."""

R_PLUNGE = "SUPA G1 U=(R595+8) F=R593"
R_REGISTERS: list[Fault] = [
    ("wait for the spindle dropped", drop("G4 F3 ; spindle at speed", fires="M3 S=R592"), "spindle-running"),
    ("wait for the coolant dropped", drop("G4 F2 ; coolant on the stick", fires="M8"), "coolant"),
    ("coolant dropped", drop("M8", fires=R_PLUNGE), "coolant"),
    ("wait before reading dropped", drop("STOPRE", 0, after=1), "register-order"),
    ("wait before writing dropped", drop("STOPRE", 1, after=1), "register-order"),
    ("length written before the plunge", move("R502=R591-8 ; stick length", R_PLUNGE), "register-order"),
    ("length not written", drop("R502=R591-8 ; stick length", fires=R_PLUNGE), "register-order"),
    ("flag not set", drop("R504=1 ; in progress", fires=R_PLUNGE), "register-order"),
    ("guard loosened", change("IF R501>=100 GOTOF DRESS_9003", "IF R501>=90 GOTOF DRESS_9003"), "accept-only"),
    ("guard turned round", change("IF R504==0 GOTOF DRESS_9001", "IF R504<>0 GOTOF DRESS_9001"), "accept-only"),
    (
        "jump over the next guard",
        change("IF R501<=125 GOTOF DRESS_9005", "IF R501<=125 GOTOF DRESS_9007"),
        "accept-only",
    ),
    ("jump into the message", change("IF R502<=150 GOTOF DRESS_9009", "IF R502<=150 GOTOF DRESS_9008"), "accept-only"),
    (
        "jump back dropped",
        drop("GOTOB DRESS_9004", fires="IF R501<=125 GOTOF DRESS_9005"),
        "accept-only",
    ),
    (
        "jump back goes on",
        change("GOTOB DRESS_9008", "GOTOF DRESS_9009", fires="IF R502<=150 GOTOF DRESS_9009"),
        "accept-only",
    ),
    ("jump the wrong way", change("GOTOB DRESS_9002", "GOTOF DRESS_9002"), "unread"),
    ("stop without a message", drop('MSG("31 STICK LENGTH IS BELOW 38 MM")', after=1), "unread"),
    ("rapid in contact", change(R_PLUNGE, "SUPA G0 U=(R595+8)"), "rapid-clearance"),
    ("wrong sign", change(R_PLUNGE, "SUPA G1 U=(R595-8) F=R593"), "plunge-depth"),
    ("retract dropped", drop("SUPA G0 U0", 1, fires=R_PLUNGE), "retract"),
    ("not in the machine's frame", change(R_PLUNGE, "G1 U=(R595+8) F=R593"), "frame"),
    ("shift not cancelled", drop("TRANS", fires="SUPA G0 U0"), "frame"),
    ("shift set", change("TRANS", "TRANS X5"), "frame"),
    (
        "units not stated",
        change("G710 G90 G94 G17 G40 D0 G97 G60", "G90 G94 G17 G40 D0 G97 G60", fires="SUPA G0 U0"),
        "explicit-modes",
    ),
    ("a word nobody knows", change("M8", "M8 OVR=100"), "unread"),
]
R_NUMBERS: list[Fault] = [
    ("wait for the spindle dropped", drop("G4 F3 ; spindle at speed", fires="M3 S3056"), "spindle-running"),
    ("wrong way round", change("M3 S3056", "M4 S3056"), "spindle-running"),
    ("wait for the coolant dropped", drop("G4 F2 ; coolant on the stick", fires="M8"), "coolant"),
    ("rapid in contact", change("SUPA G1 U55.5 F300", "SUPA G0 U55.5"), "rapid-clearance"),
    ("too deep", change("SUPA G1 U55.5 F300", "SUPA G1 U65.5 F300"), "plunge-depth"),
    ("too fast", change("SUPA G1 U55.5 F300", "SUPA G1 U55.5 F399"), "aggressiveness"),
    ("retract dropped", drop("SUPA G0 U0", 1, fires="SUPA G1 U55.5 F300"), "retract"),
    ("approach before parking", drop("SUPA G0 U0", 0, fires="SUPA G0 Z42.5"), "approach-path"),
    ("not in the machine's frame", change("SUPA G0 U43.5", "G0 U43.5"), "frame"),
    ("cycle not cancelled", drop("MCALL", fires="SUPA G0 U0"), "frame"),
    ("incremental", change("; plunge 1 of 1", "G91"), "explicit-modes"),
]
MIXED_PLUNGE = "MACHINE G1 U(R595+8) FR593"
MIXED_REGISTERS: list[Fault] = [
    ("wait for the spindle dropped", drop("G7 H300 ! SPINDLE AT SPEED", fires="M13 SR592"), "spindle-running"),
    (
        "wait in seconds",
        change("G7 H300 ! SPINDLE AT SPEED", "G7 H3 ! SPINDLE AT SPEED", fires="M13 SR592"),
        "spindle-running",
    ),
    ("wait for the coolant dropped", drop("G7 H200 ! COOLANT ON THE STICK", fires="M18"), "coolant"),
    ("wait before reading dropped", drop("STANDSTILL", 0, after=1), "register-order"),
    ("wait before writing dropped", drop("STANDSTILL", 1, after=1), "register-order"),
    ("length written before the plunge", move("R502=R591-8 ! STICK LENGTH", MIXED_PLUNGE), "register-order"),
    ("guard loosened", change("IF (R502 <= 150) GOTO 9009", "IF (R502 <= 160) GOTO 9009"), "accept-only"),
    ("jump over the next guard", change("IF (R501 >= 100) GOTO 9003", "IF (R501 >= 100) GOTO 9005"), "accept-only"),
    ("jump back dropped", drop("GOTO 9004", fires="IF (R501 <= 125) GOTO 9005"), "accept-only"),
    ("jump to nowhere", change("IF (R502 <= 150) GOTO 9009", "IF (R502 <= 150) GOTO 8009"), "unread"),
    ("a constant taken for the last place", change(MIXED_PLUNGE, "MACHINE G1 U(R595+8000) FR593"), "axis-travel"),
    ("rapid in contact", change(MIXED_PLUNGE, "MACHINE G0 U(R595+8)"), "rapid-clearance"),
    ("retract dropped", drop("MACHINE G0 U0", 1, fires=MIXED_PLUNGE), "retract"),
    ("rotation set", change("TURNED", "TURNED X5"), "unread"),
]
MIXED_NUMBERS: list[Fault] = [
    ("wait for the spindle dropped", drop("G7 H300 ! SPINDLE AT SPEED", fires="M13 S3056"), "spindle-running"),
    ("wait for the coolant dropped", drop("G7 H200 ! COOLANT ON THE STICK", fires="M18"), "coolant"),
    ("a digit too few", change("MACHINE G1 U55500 F3000", "MACHINE G1 U5550 F3000"), "plunge-depth"),
    ("a point and the last place", change("MACHINE G1 U55500 F3000", "MACHINE G1 U55500. F3000"), "axis-travel"),
    ("feed without its last place", change("MACHINE G1 U55500 F3000", "MACHINE G1 U55500 F300"), "aggressiveness"),
    ("rapid in contact", change("MACHINE G1 U55500 F3000", "MACHINE G0 U55500"), "rapid-clearance"),
    ("retract dropped", drop("MACHINE G0 U0", 1, fires="MACHINE G1 U55500 F3000"), "retract"),
    ("not in the machine's frame", change("MACHINE G1 U55500 F3000", "G1 U55500 F3000"), "frame"),
    ("coolant dropped", drop("M18", fires="MACHINE G1 U55500 F3000"), "coolant"),
    ("wrong way round", change("M13 S3056", "M14 S3056"), "spindle-running"),
]
FAULTS = [
    pytest.param(control, registers, edit, rule, id=f"{control}, {'registers' if registers else 'numbers'}: {what}")
    for control, registers, faults in (
        ("r-variables", True, R_REGISTERS),
        ("r-variables", False, R_NUMBERS),
        (NAME, True, MIXED_REGISTERS),
        (NAME, False, MIXED_NUMBERS),
    )
    for what, edit, rule in faults
]


@pytest.mark.parametrize("control", ["r-variables", NAME])
@pytest.mark.parametrize("registers", [True, False])
def test_nothing_is_wrong_with_what_is_generated(control: str, registers: bool, folder: Path) -> None:
    made = program(control, folder, registers=registers)
    assert made.by_registers == registers
    assert rules_at(made, made.text.splitlines()) == set()


@pytest.mark.parametrize(("control", "registers", "edit", "rule"), FAULTS)
def test_a_fault_is_found(control: str, registers: bool, edit: Edit, rule: str, folder: Path) -> None:
    made = program(control, folder, registers=registers)
    lines = made.text.splitlines()
    expected = edit(lines)
    assert lines != made.text.splitlines()
    assert (rule, expected) in rules_at(made, lines)


def test_a_stop_that_counts_down_to_the_dress_is_no_refusal(folder: Path) -> None:
    """Cycle start pressed three times would pass it."""
    made = program("r-variables", folder, registers=True)
    lines = made.text.splitlines()
    at = place(lines, "GOTOB DRESS_9002")
    lines[at] = "IF R599<3 GOTOB DRESS_9002"
    lines[at - 1] = "R599=R599+1 M0"
    assert ("accept-only", place(lines, "IF R501>=100 GOTOF DRESS_9003") + 1) in rules_at(made, lines)
