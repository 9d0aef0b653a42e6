"""What a control would stop at, or what nobody can know, inside a dress block that was sealed anew: an error, soon."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from test_hand_changes import INCH, JUMPS, LABELS, METRIC, Change, before, broken, put

PARK = "G53 G0 U0"
CHANGES: dict[str, tuple[tuple[str, str], Change, set[str]]] = {
    # characters and lengths, behind the retract, where a stop leaves the stick in contact
    "no-break space": (METRIC, put(PARK, PARK + "\u00a0", which=1), {"unread"}),
    "em space": (JUMPS, put("G53 G0 U0.", "G53 G0\u2003U0.", which=1), {"unread"}),
    "next line": (LABELS, put("SUPA G0 W540", "SUPA G0 W540\u0085", which=1), {"unread"}),
    "many blanks": (METRIC, put(PARK, PARK + " " * 300, which=1), {"unread"}),
    "many more blanks": (LABELS, put("SUPA G0 W540", "SUPA G0 W540" + " " * 600, which=1), {"unread"}),
    "a carriage return": (METRIC, put(PARK, PARK + " ;up\rG53 G0 U20", which=1), {"unread"}),
    "long s": (METRIC, put("M3 S#592", "M3 \u017f#592"), {"unread"}),
    # pairs of words
    "frame twice": (METRIC, put(PARK, "G53 G53 G0 U0", which=1), {"unread"}),
    "switch twice": (METRIC, put("M9", "M9 M9"), {"unread"}),
    "spindle twice": (JUMPS, put("M5", "M5 M5"), {"unread"}),
    "two signs": (METRIC, put(PARK, "G53 G0 U--0.", which=1), {"unread"}),
    "two switches": (JUMPS, put("M49", "/1 M49", "/2 M48"), {"override"}),
    # comments that act
    "a comment that stops": (METRIC, before("M9", "(abort, enough)"), {"accept-only", "retract", "modes-restored"}),
    "a comment that runs": (METRIC, before("M9", ";py,move()"), {"unmodelled"}),
    "a log file": (METRIC, before("M9", "(logopen,x.txt)"), {"unmodelled"}),
    # numbers that nobody knows
    "approach at no feed": (METRIC, put("G53 G1 U[#595-4] F#594", "G53 G1 U[#595-4] F0"), {"unread"}),
    "wait without its point": (JUMPS, put("G4 X3. (SPINDLE AT SPEED)", "G4 X3 (SPINDLE AT SPEED)"), {"unmodelled"}),
    "surface speed": (JUMPS, put("M3 S#592", "G96 M3 S#592"), {"unmodelled"}),
    "limit of speed": (JUMPS, before("M3 S#592", "G92 S3000"), {"unread"}),
    "a value of the control": (METRIC, put("#590 = [#501] (wheel diameter)", "#590 = [#501+#5400]"), {"unmodelled"}),
    "a place of the control": (JUMPS, put("#591=#502 (STICK LENGTH)", "#591=#502-#5023"), {"unmodelled"}),
    "a named value": (METRIC, put(PARK, "G53 G0 U#<_spindle_on>", which=1), {"unmodelled"}),
    "a decision": (JUMPS, put("IF [#502 LE 140] GOTO 9009", "IF [#1001 EQ 0] GOTO 9009"), {"unread"}),
    "a tool change": (INCH, before("M8", "M6"), {"unmodelled"}),
}  # fmt: skip


@pytest.mark.parametrize("name", CHANGES)
def test_it_is_an_error_in_the_block(name: str, tmp_path: Path) -> None:
    which, change, rules = CHANGES[name]
    found = broken(tmp_path / "program.nc", which, change)
    assert found & rules, found


@pytest.mark.parametrize(
    ("which", "change"),
    [
        (LABELS, before("M0", "G4 F0.1")),
        (LABELS, put("GOTOB DRESS_106", "R1=R1+1", "GOTOB DRESS_105")),
        (LABELS, before("M8", "AGAIN:", "R1=R1", "GOTOB AGAIN")),
        (JUMPS, before("M8", "N8000", "#1=#1", "GOTO 8000")),
    ],
)
def test_a_block_that_goes_round_for_ever_is_found_soon(which: tuple[str, str], change: Change, tmp_path: Path) -> None:
    begin = time.process_time()
    assert broken(tmp_path / "program.nc", which, change)
    assert time.process_time() - begin < 8
