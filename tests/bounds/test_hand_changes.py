"""Demo programs changed by hand and sealed anew: ``check`` finds the rule that the change breaks.

Each change was once found, or feared, to pass unseen. What the changed line
would do is worked out by hand from the program beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from gen.base.places import data_folder
from gen.control.draft import draft
from gen.control.options import Options
from gen.control.seal import blocks, digest
from gen.jobs.check import check_program
from gen.jobs.provenance import Named
from gen.shop.load import load_machine, load_recipe

Change = Callable[[list[str]], list[str]]

METRIC = ("north-bench", "flute-rough")
INCH = ("inch-table", "slot-wheel")
JUMPS = ("leaning-slide", "clearance-wheel")
LABELS = ("long-slide", "narrow-wheel")
STEPS = ("shuttle", "notch-wheel")

PLUNGE = "G53 G1 U[#595+8] F#593"


@cache
def generated(machine: str, recipe: str) -> tuple[str, ...]:
    folder = data_folder("machines") / machine
    tables = load_recipe(folder / "dress" / f"{recipe}.toml"), load_machine(folder / "machine.toml")
    return tuple(draft(*tables, (machine, recipe), Options()).text.splitlines())


def put(old: str, *new: str, which: int = 0) -> Change:
    """The line ``old`` (the one numbered ``which`` of several) replaced by ``new``."""

    def change(lines: list[str]) -> list[str]:
        at = [place for place, line in enumerate(lines) if line == old][which]
        return [*lines[:at], *new, *lines[at + 1 :]]

    return change


def before(old: str, *new: str, which: int = 0) -> Change:
    return put(old, *new, old, which=which)


def behind(old: str, *new: str, which: int = 0) -> Change:
    return put(old, old, *new, which=which)


def top(*new: str) -> Change:
    """Lines before the block: behind the first line of the text."""
    return lambda lines: [lines[0], *new, *lines[1:]]


def foot(*new: str) -> Change:
    """Lines at the end of the text, before the closing ``%``."""
    return lambda lines: [*lines[:-1], *new, lines[-1]]


def both(*changes: Change) -> Change:
    def change(lines: list[str]) -> list[str]:
        for one in changes:
            lines = one(lines)
        return lines

    return change


def sealed(lines: list[str]) -> str:
    (block,) = blocks(lines)
    body = lines[block.first : block.last - 1]
    first = lines[block.first - 1].replace(block.stated, digest(body))
    return "\n".join([*lines[: block.first - 1], first, *lines[block.first :], ""])


def broken(path: Path, which: tuple[str, str], change: Change) -> set[str]:
    """The rules that ``check`` holds against the program ``which`` after ``change``."""
    path.write_text(sealed(change(list(generated(*which)))))
    findings = check_program(path, Named(root=data_folder("machines")))
    return {finding.rule for finding in findings if finding.severity == "error"}


@pytest.mark.parametrize("which", [METRIC, INCH, JUMPS, LABELS, STEPS], ids=lambda which: which[1])
def test_nothing_is_held_against_what_was_generated(which: tuple[str, str], tmp_path: Path) -> None:
    assert broken(tmp_path / "program.nc", which, lambda lines: lines) == set()


CHANGES: dict[str, tuple[tuple[str, str], Change, str]] = {
    # feeds and speeds
    "speed up by a tenth": (METRIC, put("M3 S#592", "M3 S[#592*1.1]"), "spindle-running"),
    "speed up by a tenth, a number": (INCH, put("M3 S2546", "M3 S2801"), "spindle-running"),
    "feed up by half": (METRIC, put(PLUNGE, "G53 G1 U[#595+8] F[#593*1.5]"), "aggressiveness"),
    "feed down by half": (INCH, put("G53 G1 X10. F12.", "G53 G1 X10. F6."), "aggressiveness"),
    "second half too fast": (
        METRIC,
        put(PLUNGE, "G53 G1 U[#595+2] F#593", "G53 G1 U[#595+8] F390"),
        "aggressiveness",
    ),
    "second half too slow": (METRIC, put(PLUNGE, "G53 G1 U[#595+2] F#593", "G53 G1 U[#595+8] F50"), "aggressiveness"),
    "approach up by half": (METRIC, put("G53 G1 U[#595-4] F#594", "G53 G1 U[#595-4] F600"), "plunge-feed"),
    "feed per revolution": (METRIC, before("(plunge 1 of 1)", "G95"), "explicit-modes"),
    "surface speed": (INCH, before("M3 S2546", "G96"), "frame"),
    "surface speed not cancelled": (
        INCH,
        put("G20 G90 G94 G17 G40 G49 G80 G97 G61", "G20 G90 G94 G17 G40 G49 G80 G61"),
        "frame",
    ),
    "coolant wait short by half a second": (INCH, put("G4 X2. (COOLANT ON THE STICK)", "G4 X1.5"), "coolant"),
    # in contact
    "coolant off in the middle of a plunge": (METRIC, put(PLUNGE, "G53 G1 U[#595+4] F#593", "M9", PLUNGE), "coolant"),
    "optional stop in contact": (METRIC, before("G53 G0 U0", "M1", which=1), "no-wait-in-contact"),
    "second axis on the retract": (METRIC, put("G53 G0 U0", "G53 G0 U0 Z50", which=1), "single-axis-plunge"),
    "peck": (METRIC, put(PLUNGE, "G53 G1 U[#595+4] F#593", "G53 G0 U[#595+2]", PLUNGE), "plunge-depth"),
    "rapid in contact": (METRIC, put(PLUNGE, "G53 G1 U[#595+4] F#593", "G53 G0 U[#595+8]"), "single-axis-plunge"),
    "one plunge left out by an end": (INCH, before("(PLUNGE 2 OF 2)", "M30"), "plunge-depth"),
    # coordinates
    "shift in the opening": (METRIC, before("(plunge axis parks first)", "G92 U5"), "frame"),
    "shift behind the last move": (METRIC, before("M9", "G92 U5"), "frame"),
    "shift where none is cancelled": (JUMPS, before("M9", "G92 U5."), "frame"),
    "offset set in the opening": (JUMPS, before("(PLUNGE AXIS PARKS FIRST)", "G10 L2 P1 X5."), "frame"),
    "offset set behind the last move": (METRIC, before("M9", "G10 L2 P1 X5"), "frame"),
    "another work offset left": (METRIC, before("M9", "G55"), "frame"),
    "tool length behind the last move": (METRIC, before("M9", "G43 H1"), "frame"),
    "diameter programming": (METRIC, before("(plunge 1 of 1)", "G7"), "frame"),
    "inch for mm": (METRIC, put("G21 G90 G94 G17 G64", "G20 G90 G94 G17 G64"), "modes-restored"),
    "a held axis away and back": (LABELS, before("SUPA G0 Z112.5", "SUPA G0 Y300", "SUPA G0 Y400"), "approach-path"),
    "a step back and forth": (STEPS, behind("G0 U-3.", "G0 U2.9"), "retract"),
    # registers
    "wheel register written": (METRIC, before("#590 = [#501] (wheel diameter)", "#501 = [125]"), "register-order"),
    "wheel register written before the block": (METRIC, top("#501 = [125]"), "accept-only"),
    "length with the wrong sign": (
        METRIC,
        put("#502 = [#591-8] (stick length)", "#502 = [#591+8]"),
        "register-order",
    ),
    "working variable used twice": (METRIC, before(PLUNGE, "#595 = [#593]"), "plunge-depth"),
    "depth depends on a register": (METRIC, put(PLUNGE, "G53 G1 U[#595+8+#100] F#593"), "nothing-else"),
    "guards passed by a register": (
        JUMPS,
        before("IF [#504 EQ 0] GOTO 9001", "IF [#100 EQ 1] GOTO 9009"),
        "nothing-else",
    ),
    "guard passed in the other unit": (
        JUMPS,
        behind("IF [#501 LE 125] GOTO 9005", "IF [#501 GT 500] GOTO 9005"),
        "accept-only",
    ),
    "guard passed by another flag": (
        JUMPS,
        behind("IF [#504 EQ 0] GOTO 9001", "IF [#504 GE 2] GOTO 9001"),
        "accept-only",
    ),
    # flow
    "a message left for a plunge behind the block": (
        JUMPS,
        both(put("GOTO 9006", "GOTO 500"), foot("N500", "G53 G0 U150.", "G53 G0 U0.", "M30")),
        "accept-only",
    ),
    "retract deletable": (INCH, put("G53 G0 X13.5", "/G53 G0 X13.5", which=1), "retract"),
    "guard deletable": (JUMPS, put("IF [#501 LE 125] GOTO 9005", "/IF [#501 LE 125] GOTO 9005"), "accept-only"),
    "plunge run twice": (JUMPS, behind("#591=#591-7 (STICK LENGTH)", "IF [#591 GT 126] GOTO 9009"), "plunge-depth"),
    "a call in the block": (
        JUMPS,
        both(before("M9", "M98 P8000"), foot("O8000", "G53 G0 U60.", "G53 G0 U0.", "M99")),
        "one-piece",
    ),
    "a call at the end of the block": (
        JUMPS,
        both(before("M30", "M98 P8000"), foot("O8000", "G53 G0 U60.", "M99")),
        "one-piece",
    ),
    "into the middle of the block": (
        JUMPS,
        both(put("M30", ""), foot("M0", "#1=#1+1", "IF [#1 LT 2] GOTO 9009", "M30")),
        "one-piece",
    ),
    "a move before the block": (METRIC, top("G21 G90 G53 G0 U60", "G53 G0 U0"), "one-piece"),
    "a move behind the block": (JUMPS, both(put("M30", ""), foot("G53 G0 U60.", "M30")), "one-piece"),
    "no end": (INCH, put("M30", ""), "one-piece"),
    "no return": (LABELS, put("M17", ""), "one-piece"),
    # switches
    "tool change": (METRIC, before("(wheel at dress speed)", "T2 M6"), "nothing-else"),
    "a word nobody knows": (METRIC, before("M9", "M60"), "unread"),
    "spindle backwards behind the plunge": (METRIC, put("M5", "M4 S500"), "modes-restored"),
    "spindle left on": (METRIC, put("M5", ""), "modes-restored"),
    "coolant left on": (INCH, put("M9", ""), "modes-restored"),
    "too fast behind the plunge": (METRIC, before("M5", "M3 S20000"), "wheel-speed"),
    "unlocked before the plunge": (METRIC, before("G53 G1 U[#595-4] F#594", "M48"), "override"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_change_by_hand_is_found(name: str, tmp_path: Path) -> None:
    which, change, rule = CHANGES[name]
    assert rule in broken(tmp_path / "program.nc", which, change)
