"""One fault at a time planted in the text of a generated program: the right rule fires, at the right line.

Lines that are dropped leave an empty one, so that every other keeps its number.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from changed import changed
from gen.bounds import judge
from gen.bounds.readback import case_of, read_cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.reader import lower
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE, RECIPE

NGC_MODES = "G49 G80 G97 G8 G92.2 G61.1"
ISO_MODES = "G90 G94 G17 G40 G49 G80 G97 G61"
HASH_MODES = "G90 G94 G17 G40 G49 G80 G97 G69 G50 G61"
NUMERIC = changed(MACHINE, control="iso6983", registers=None)


@cache
def program(control: str) -> Program:
    tables = NUMERIC if control == NUMERIC["control"] else changed(MACHINE, control=control)
    return draft(Recipe.model_validate(RECIPE), Machine.model_validate(tables), ("bench", "opening"), Options())


def rules_at(planted: Program) -> set[tuple[str, int | None]]:
    """Rule and line of all that is found, the broken seal of the planted text left out."""
    if planted.by_registers:
        cases = list(read_cases(planted))
    else:
        text = planted.text
        cases = [case_of(planted, lower(text, planted.dialect.control), planted.state, text=text)]
    return {(finding.rule, finding.line) for finding in judge(cases).findings if finding.rule != "altered"}


# control, the line as it was, as it is, rule, and the line where it must fire (None: the planted one)
Fault = tuple[str, str, str, str, str | None]

FAULTS: list[Fault] = [
    # rapid and feed exchanged
    ("rs274ngc", "G53 G1 U[#595+8] F#593", "G53 G0 U[#595+8] F#593", "rapid-clearance", None),
    ("rs274ngc", "G53 G1 U[#595-4] F#594", "G53 G0 U[#595-4] F#594", "rapid-clearance", None),
    ("rs274ngc", "G53 G0 U43.5", "G53 G1 U43.5", "unread", None),
    ("rs274ngc", "G53 G0 X180", "G53 G1 X180 F300", "approach-path", None),
    ("hash-variables", "G53 G1 U[#595+8] F#593", "G53 G0 U[#595+8] F#593", "rapid-clearance", None),
    ("hash-variables", "G53 G0 U43.5", "G53 G1 U43.5", "explicit-modes", None),
    ("iso6983", "G53 G1 U55.5 F300.", "G53 G0 U55.5 F300.", "rapid-clearance", None),
    ("iso6983", "G53 G0 Z42.5", "G53 G1 Z42.5", "approach-path", None),
    # spindle and waits
    ("rs274ngc", "M3 S#592", "", "spindle-running", "G53 G1 U[#595+8] F#593"),
    ("rs274ngc", "M3 S#592", "M4 S#592", "spindle-running", None),
    ("rs274ngc", "G4 P3 (spindle at speed)", "", "spindle-running", "M3 S#592"),
    ("rs274ngc", "G4 P2 (coolant on the stick)", "", "coolant", "M8"),
    ("rs274ngc", "M8", "", "coolant", "G53 G1 U[#595+8] F#593"),
    ("hash-variables", "M3 S#592", "", "spindle-running", "G53 G1 U[#595+8] F#593"),
    ("hash-variables", "M3 S#592", "M4 S#592", "spindle-running", None),
    ("hash-variables", "G4 X3. (SPINDLE AT SPEED)", "", "spindle-running", "M3 S#592"),
    ("iso6983", "M3 S3056", "", "spindle-running", "G53 G1 U55.5 F300."),
    ("iso6983", "M3 S3056", "M4 S3056", "spindle-running", None),
    ("iso6983", "G4 X3. (SPINDLE AT SPEED)", "", "spindle-running", "M3 S3056"),
    # a wait of thousandths where the control counts seconds
    ("iso6983", "G4 X3. (SPINDLE AT SPEED)", "G4 P3 (SPINDLE AT SPEED)", "spindle-running", "M3 S3056"),
    # modes
    ("rs274ngc", f"G21 G90 G94 G17 G40 {NGC_MODES}", f"G90 G94 G17 G40 {NGC_MODES}", "explicit-modes", "G53 G0 U0"),
    ("rs274ngc", f"G21 G90 G94 G17 G40 {NGC_MODES}", f"G21 G90 G94 G17 {NGC_MODES}", "frame", "G53 G0 U0"),
    ("rs274ngc", "(wheel at dress speed)", "G91", "explicit-modes", None),
    ("hash-variables", f"G21 {HASH_MODES}", HASH_MODES, "explicit-modes", "G53 G0 U0."),
    ("hash-variables", "(PLUNGE 1 OF 1)", "G91", "explicit-modes", None),
    ("iso6983", f"G21 {ISO_MODES}", ISO_MODES, "explicit-modes", "G53 G0 U0."),
    ("iso6983", f"G21 {ISO_MODES}", f"G21 {ISO_MODES.removesuffix(' G61')}", "frame", "G53 G0 U0."),
    ("rs274ngc", "G53 G0 U43.5", "G64\nG53 G0 U43.5", "frame", None),
    ("hash-variables", "G21 G90 G94 G17 G64", "G21 G90 G94 G17", "modes-restored", f"G21 {HASH_MODES}"),
    ("iso6983", "(PLUNGE 1 OF 1)", "G91", "explicit-modes", None),
    ("iso6983", "G53 G1 U55.5 F300.", "G1 U55.5 F300.", "frame", None),
    # wrong sign
    ("rs274ngc", "G53 G1 U[#595+8] F#593", "G53 G1 U[#595-8] F#593", "plunge-depth", None),
    ("rs274ngc", "G53 G0 X180", "G53 G0 X-180", "axis-travel", None),
    ("hash-variables", "G53 G0 U43.5", "G53 G0 U-43.5", "axis-travel", None),
    ("iso6983", "G53 G1 U55.5 F300.", "G53 G1 U-55.5 F300.", "axis-travel", None),
    # registers
    ("rs274ngc", "G53 G0 U43.5", "#502 = [#591-8]\nG53 G0 U43.5", "register-order", None),
    ("rs274ngc", "#502 = [#591-8] (stick length)", "#502 = [#591+8]", "register-order", None),
    ("rs274ngc", "#504 = [1] (in progress)", "", "register-order", "G53 G1 U[#595+8] F#593"),
    ("hash-variables", "G53 G0 U43.5", "#502=#591-8\nG53 G0 U43.5", "register-order", None),
    ("hash-variables", "#502=#591-8 (STICK LENGTH)", "", "register-order", "G53 G1 U[#595+8] F#593"),
    # guards
    ("rs274ngc", "O9000 if [#504 EQ 0]", "O9000 if [#504 GE 0]", "accept-only", None),
    ("rs274ngc", "O9002 if [#501 GE 100]", "O9002 if [#501 GE 90]", "accept-only", None),
    ("rs274ngc", "O9004 if [#501 LE 125]", "O9004 if [#501 LE 135]", "accept-only", None),
    ("rs274ngc", "O9006 if [#502 GE 38]", "O9006 if [#502 GE 30]", "accept-only", None),
    ("rs274ngc", "O9008 if [#502 LE 150]", "O9008 if [#502 LE 151]", "accept-only", None),
    ("rs274ngc", "O9008 if [#502 LE 150]", "O9008 if [#502 LE 140]", "accept-only", None),
    ("hash-variables", "IF [#504 EQ 0] GOTO 9001", "IF [#504 GE 0] GOTO 9001", "accept-only", None),
    ("hash-variables", "IF [#501 GE 100] GOTO 9003", "IF [#501 GE 90] GOTO 9003", "accept-only", None),
    ("hash-variables", "IF [#502 LE 150] GOTO 9009", "IF [#502 LE 160] GOTO 9009", "accept-only", None),
    ("hash-variables", "IF [#504 EQ 0] GOTO 9001", "IF [#504 EQ 0] GOTO 9003", "accept-only", None),
    ("hash-variables", "IF [#501 GE 100] GOTO 9003", "IF [#501 GE 100] GOTO 9005", "accept-only", None),
    ("hash-variables", "IF [#501 LE 125] GOTO 9005", "IF [#501 LE 125] GOTO 9007", "accept-only", None),
    ("hash-variables", "IF [#502 GE 38] GOTO 9007", "IF [#502 GE 38] GOTO 9009", "accept-only", None),
    ("hash-variables", "IF [#502 LE 150] GOTO 9009", "IF [#502 LE 150] GOTO 9008", "accept-only", None),
    ("hash-variables", "IF [#504 EQ 0] GOTO 9001", "IF [#504 EQ 0] GOTO 9009", "accept-only", None),
    ("hash-variables", "GOTO 9004", "", "accept-only", "IF [#501 LE 125] GOTO 9005"),
    ("hash-variables", "IF [#502 LE 150] GOTO 9009", "IF [#502 LE 150] GOTO 8009", "unread", None),
]  # fmt: skip


@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables", "iso6983"])
def test_what_is_generated_has_nothing_against_it(control: str) -> None:
    assert rules_at(program(control)) == set()


@pytest.mark.parametrize("fault", FAULTS, ids=[f"{fault[0]}: {fault[2] or 'without ' + fault[1]}" for fault in FAULTS])
def test_planted(fault: Fault) -> None:
    control, old, new, rule, fires = fault
    made = program(control)
    lines = made.text.splitlines()
    (at,) = [number for number, line in enumerate(lines) if line == old]
    expected = lines.index(fires or old) + 1
    lines[at] = new
    assert (rule, expected) in rules_at(replace(made, text="\n".join([*lines, ""])))


@pytest.mark.parametrize(
    ("control", "retract", "plunge", "which"),
    [
        ("rs274ngc", "G53 G0 U0", "G53 G1 U[#595+8] F#593", -1),
        ("hash-variables", "G53 G0 U0.", "G53 G1 U[#595+8] F#593", -1),
        ("iso6983", "G53 G0 U0.", "G53 G1 U55.5 F300.", -1),
    ],
)
def test_retract_dropped(control: str, retract: str, plunge: str, which: int) -> None:
    made = program(control)
    lines = made.text.splitlines()
    places = [number for number, line in enumerate(lines) if line == retract]
    assert len(places) == 2  # parked first, and drawn back
    lines[places[which]] = ""
    found = rules_at(replace(made, text="\n".join([*lines, ""])))
    assert ("retract", lines.index(plunge) + 1) in found


@pytest.mark.parametrize(("control", "word"), [("rs274ngc", "M66 P0 L0"), ("hash-variables", "G4 X0")])
@pytest.mark.parametrize("which", [0, 1])
def test_wait_word_dropped(control: str, word: str, which: int) -> None:
    made = program(control)
    lines = made.text.splitlines()
    at = [number for number, line in enumerate(lines) if line == word][which]
    lines[at] = ""
    found = rules_at(replace(made, text="\n".join([*lines, ""])))
    assert ("register-order", at + 2) in found  # the read, or the write, in the next line


@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables", "iso6983"])
def test_altered(control: str) -> None:
    made = program(control)
    text = re.sub("(?i)coolant on the stick", "COOLANT", made.text)
    assert text != made.text
    lines = text.splitlines()
    case = case_of(made, lower(text, made.dialect.control), made.state, text=text)
    (finding,) = judge([case]).findings
    assert (finding.rule, finding.certainty) == ("altered", "changed")
    assert finding.line is not None
    assert "BEGIN DRESS 7101" in lines[finding.line - 1]


def test_a_prove_out_comes_no_nearer_than_its_clearance() -> None:
    """Held off by more than the clearance as generated; a feed that ends nearer is told, at its line."""
    made = draft(
        Recipe.model_validate(RECIPE),
        Machine.model_validate(NUMERIC),
        ("bench", "opening"),
        Options(purpose="prove-out", resolve=True),
    )
    assert not {rule for rule, _ in rules_at(made) if rule == "prove-out"}
    axis = made.dress.dresser.axis
    lines = made.text.splitlines()
    at, old = next(
        (number, found[1])
        for number, line in enumerate(lines)
        if "G1" in line and (found := re.search(rf"{axis}(-?[0-9.]+)", line))
    )
    # clearance and tolerance off the envelope, which is a clearance off contact
    clearance = float(2 * made.dress.dresser.keeps_clear + made.dress.machine.dresser.stick_tolerance)
    contact = float(made.dress.earliest_contact or 0)
    sign = made.dress.machine.dresser.sign

    def told(gap: float) -> bool:
        nearer = lines[at].replace(f"{axis}{old}", f"{axis}{contact - sign * gap:.3f}")
        text = "\n".join([*lines[:at], nearer, *lines[at + 1 :]]) + "\n"
        return ("prove-out", at + 1) in rules_at(replace(made, text=text))

    assert told(clearance - 0.01)
    assert not told(clearance)
    assert not told(clearance + 0.01)
