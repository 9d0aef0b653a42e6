"""Each fault of a block's motion, waits, switches, modes and registers is found by its rule, on its line.

What a block must do is design section 5; that a spindle needs its time and a
wheel its coolant before contact is common practice, no source.
"""

from __future__ import annotations

from functools import reduce

import pytest
from dress_block import MODES, Edit, Go, Item, Lines, Mode, case_of, found, good, line_of, put

from gen.bounds import judge
from gen.plan.step import Aux, Coolant, Dwell, Refuse, Spindle, Stop, Write


def drop(name: str) -> Edit:
    return lambda lines: {key: items for key, items in lines.items() if key != name}


def write(name: str, *items: Item) -> Edit:
    return lambda lines: {key: list(items) if key == name else old for key, old in lines.items()}


def both(*edits: Edit) -> Edit:
    return lambda lines: reduce(lambda so_far, edit: edit(so_far), edits, lines)


def insert(name: str, before: str, *items: Item) -> Edit:
    return lambda lines: put(lines, name, list(items), before=before)


_CANCELLED_LATE = both(drop("cancel"), insert("late", "at", Mode("compensation", "off")))
_TWICE = both(insert("out", "retract", Go("U", 40)), insert("again", "retract", Go("U", 63.5, 300.02)))
_WAIT_FIRST = both(drop("spin up"), insert("early", "spindle", Dwell(0, 3)))
_WRITTEN_INSIDE = both(
    insert("wait", "retract", Aux(0, "W", "synchronise")), insert("early", "retract", Write(0, 502, 142))
)

FAULTS: list[tuple[str, str, str, Edit]] = [
    # frame
    ("work offset", "frame", "envelope", write("envelope", Go("U", 43.5, frame="work"))),
    ("another offset", "frame", "lateral", write("lateral", Go("Z", 42.5, frame="G57"))),
    ("incremental steps", "frame", "plunge", write("plunge", Go("U", 12, 300.02, frame="incremental"))),
    ("compensation not cancelled", "frame", "park", drop("cancel")),
    ("cancelled too late", "frame", "park", _CANCELLED_LATE),
    ("compensation on again", "frame", "odd", insert("odd", "plunge", Mode("compensation", "left"))),
    # modes
    ("units not stated", "explicit-modes", "park", write("modes", *MODES[1:])),
    ("plane not stated", "explicit-modes", "park", write("modes", *MODES[:3])),
    ("inch on a metric machine", "explicit-modes", "odd", insert("odd", "at", Mode("units", "inch"))),
    ("incremental before a move", "explicit-modes", "odd", insert("odd", "envelope", Mode("distance", "incremental"))),
    ("feed a revolution", "explicit-modes", "odd", insert("odd", "plunge", Mode("feed_mode", "per-revolution"))),
    ("left wrong", "modes-restored", "leave", write("leave", Mode("units", "mm"), Mode("distance", "incremental"))),
    # the way to the wheel
    ("not parked first", "approach-path", "at", drop("park")),
    ("parked with another axis", "approach-path", "park", write("park", Go("U", 0, also={"Z": 42.5}))),
    ("parked elsewhere", "approach-path", "park", write("park", Go("U", 20))),
    ("parked at a feed", "approach-path", "park", write("park", Go("U", 0, 100))),
    ("axes together", "approach-path", "at", write("at", Go("X", 180, also={"Z": 42.5}))),
    ("wrong order", "approach-path", "at", both(write("at", Go("Z", 42.5)), write("lateral", Go("X", 180)))),
    ("wrong place", "approach-path", "at", write("at", Go("X", 170))),
    ("wrong lane", "approach-path", "lateral", write("lateral", Go("Z", 44.5))),
    ("axis left out", "approach-path", "plunge", drop("lateral")),
    ("strange axis", "approach-path", "odd", insert("odd", "at", Go("Y", 10))),
    ("other axis while not parked", "approach-path", "odd", insert("odd", "approach", Go("X", 180))),
    ("other axis at a feed", "approach-path", "at", write("at", Go("X", 180, 500))),
    ("travel exceeded", "axis-travel", "odd", insert("odd", "coolant off", Go("U", -0.5))),
    ("wrong sign", "axis-travel", "plunge", write("plunge", Go("U", -55.5, 300.02))),
    ("rapid into the wheel", "rapid-clearance", "plunge", write("plunge", Go("U", 55.5))),
    ("rapid past the envelope", "rapid-clearance", "envelope", write("envelope", Go("U", 44.5))),
    ("approach too fast", "plunge-feed", "approach", write("approach", Go("U", 43.5, 450))),
    # in contact
    ("plunge too fast", "plunge-feed", "plunge", write("plunge", Go("U", 55.5, 401))),
    ("plunge too slow", "plunge-feed", "plunge", write("plunge", Go("U", 55.5, 9))),
    ("axis too fast", "axis-feed", "plunge", write("plunge", Go("U", 55.5, 601))),
    ("too aggressive", "aggressiveness", "plunge", write("plunge", Go("U", 55.5, 361))),
    ("too gentle", "aggressiveness", "plunge", write("plunge", Go("U", 55.5, 239))),
    ("too deep", "plunge-depth", "plunge", write("plunge", Go("U", 55.52, 300.02))),
    ("too shallow", "plunge-depth", "plunge", write("plunge", Go("U", 55.48, 300.02))),
    ("never in contact", "plunge-depth", "plunge", write("plunge", Go("U", 47.5, 300.02))),
    ("plunged twice", "plunge-depth", "again", _TWICE),
    ("another axis in contact", "single-axis-plunge", "odd", insert("odd", "retract", Go("Z", 43.5))),
    ("diagonal plunge", "single-axis-plunge", "plunge", write("plunge", Go("U", 55.5, 300.02, also={"Z": 42.5}))),
    ("diagonal retract", "single-axis-plunge", "retract", write("retract", Go("U", 0, also={"Z": 42.5}))),
    ("plunge as an arc", "single-axis-plunge", "plunge", write("plunge", Go("U", 55.5, 300.02, op="arc"))),
    ("dwell in contact", "no-wait-in-contact", "odd", insert("odd", "retract", Dwell(0, 0.1))),
    ("stop in contact", "no-wait-in-contact", "odd", insert("odd", "retract", Stop(0))),
    ("wait for motion in contact", "no-wait-in-contact", "odd", insert("odd", "retract", Aux(0, "W", "synchronise"))),
    ("coolant off in contact", "coolant", "odd", insert("odd", "retract", Coolant(0, False))),
    ("retract too short", "retract", "out", insert("out", "retract", Go("U", 52))),
    ("retract dropped", "retract", "plunge", drop("retract")),
    ("retract at a feed", "retract", "retract", write("retract", Go("U", 0, 300))),
    ("not parked at the end", "retract", "retract", write("retract", Go("U", 40))),
    ("another axis afterwards", "retract", "odd", insert("odd", "coolant off", Go("Z", 0))),
    # spindle and coolant
    ("spindle never started", "spindle-running", "plunge", drop("spindle")),
    ("spindle backwards", "spindle-running", "spindle", write("spindle", Spindle(0, 3056, "ccw"))),
    ("spindle stopped before contact", "spindle-running", "odd", insert("odd", "envelope", Spindle(0, 0, "off"))),
    ("spindle at another speed", "spindle-running", "spindle", write("spindle", Spindle(0, 3100, "cw"))),
    ("wait too short", "spindle-running", "spindle", write("spin up", Dwell(0, 0.9))),
    ("wait before it", "spindle-running", "spindle", _WAIT_FIRST),
    ("over the marking", "wheel-speed", "spindle", write("spindle", Spindle(0, 9626, "cw"))),
    ("over the spindle", "spindle-range", "spindle", write("spindle", Spindle(0, 6001, "cw"))),
    ("coolant never on", "coolant", "plunge", drop("coolant")),
    ("coolant not waited for", "coolant", "coolant", drop("coolant wait")),
    ("coolant off before contact", "coolant", "odd", insert("odd", "plunge", Coolant(0, False))),
    # overrides
    ("not locked", "override", "plunge", drop("lock")),
    ("freed too early", "override", "plunge", insert("odd", "plunge", Aux(0, "F", "override-free"))),
    ("never freed", "override", "lock", drop("free")),
    # registers
    ("read without waiting", "register-order", "flag?", drop("wait to read")),
    ("written without waiting", "register-order", "write stick", drop("wait to write")),
    ("written before the plunge", "register-order", "early", insert("early", "envelope", Write(0, 502, 142))),
    ("written in contact", "register-order", "early", _WRITTEN_INSIDE),
    ("wrong length", "register-order", "write stick", write("write stick", Write(0, 502, 141.9))),
    ("length not written", "register-order", "plunge", drop("write stick")),
    ("flag not set", "register-order", "plunge", drop("set flag")),
    ("flag cleared first", "register-order", "odd", insert("odd", "write stick", Write(0, 504, 0))),
    ("flag never cleared", "register-order", "spindle off", drop("clear flag")),
    ("not counted", "register-order", "spindle off", drop("count")),
    ("counted too early", "register-order", "odd", insert("odd", "plunge", Write(0, 503, 0))),
    ("counter not zeroed", "register-order", "count", write("count", Write(0, 503, 1))),
    ("wheel written", "register-order", "odd", insert("odd", "count", Write(0, 501, 124))),
    # guards
    ("refuses a good state", "accept-only", "use stick", insert("odd", "at", Refuse(0, "NO"))),
]  # fmt: skip


def test_a_good_block_has_nothing_against_it() -> None:
    assert judge([case_of(good())]).findings == ()


@pytest.mark.parametrize(("rule", "at", "edit"), [fault[1:] for fault in FAULTS], ids=[fault[0] for fault in FAULTS])
def test_one_fault(rule: str, at: str, edit: Edit) -> None:
    lines: Lines = edit(good())
    assert (rule, line_of(lines, at)) in found(case_of(lines))


@pytest.mark.parametrize(
    "edit",
    [
        drop("lock"),
        insert("same speed again", "envelope", Spindle(0, 3056, "cw")),
        write("retract", Go("U", 0)),
        insert("out and out", "retract", Go("U", 43.5)),
        write("plunge", Go("U", 55.503, 300.02)),
    ],
    ids=["unlocked where there is no lock", "told again", "as it was", "back in two rapids", "rounding"],
)
def test_what_is_no_fault(edit: Edit) -> None:
    case = case_of(edit(good()))
    assert [finding for finding in judge([case]).findings if finding.rule != "override"] == []
