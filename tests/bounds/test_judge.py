"""How findings of many cases become one list, and what is said about what cannot be judged."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from dress_block import Go, Lines, Mode, case_of, good, line_of, stay, the

from changed import changed
from gen.bounds import RULES, judge
from gen.bounds.case import Case
from gen.control.folders import load_control
from gen.control.seal import MarkedBlock
from gen.plan.node import State
from gen.plan.step import Aux, End, Move, Refuse, Spindle, Stop, Unread
from gen.reader import lower, run
from gen.reader.reading import Reading
from gen.reader.spread import Spread
from slide_bench import MACHINE, RECIPE, dress_of

BUILT = {
    "accept-only", "aggressiveness", "altered", "approach-path", "axis-feed", "axis-travel", "coolant",
    "explicit-modes", "frame", "modes-restored", "no-wait-in-contact", "override", "plunge-depth", "plunge-feed",
    "rapid-clearance", "register-order", "retract", "shoulder", "single-axis-plunge", "spindle-range",
    "nothing-else", "one-piece", "spindle-running", "stick-length", "unmodelled", "unread", "wheel-speed",
}  # fmt: skip


WITHOUT_RECIPE = {"altered", "gap-check", "modes-restored", "part-counter", "prove-out", "unmodelled", "unread"}
"""What can be judged of a text alone, at least in part, or does not apply to a plain dress."""

MOTION = ("envelope", "approach", "plunge", "retract")


def without(*parts: str) -> Lines:
    """The good block without the lines whose name holds one of ``parts``."""
    return {name: items for name, items in good().items() if not any(part in name for part in parts)}


def test_every_rule_is_there_with_its_sentence() -> None:
    assert set(RULES) >= BUILT
    for rule in RULES.values():
        assert rule.holds.endswith("."), rule.id
        assert len(rule.holds) > 30, rule.id


def test_one_rule_on_one_line_speaks_once_and_says_the_worst() -> None:
    near, far = good(), good()
    near["plunge"], far["plunge"] = [Go("U", 55.6, 300.02)], [Go("U", 57.5, 300.02)]
    findings = [
        finding
        for finding in judge([case_of(near), case_of(far), case_of(near)]).findings
        if finding.rule == "plunge-depth"
    ]
    assert len(findings) == 1
    assert "10 mm beyond contact; 8 mm is planned" in findings[0].message


def test_findings_come_in_order_of_lines() -> None:
    lines = good()
    del lines["coolant wait"], lines["free"], lines["cancel"]
    assert [(finding.rule, finding.line) for finding in judge([case_of(lines)]).findings] == [
        ("frame", line_of(lines, "park")),
        ("coolant", line_of(lines, "coolant")),
        ("override", line_of(lines, "lock")),
    ]


def test_without_a_recipe_one_finding_names_the_rules_that_are_silent() -> None:
    reading = Reading(steps=[Move("rapid", 3, {"U": 99.0}, None, ("U",), "work")], unread=[Unread(4, "Q9", "unknown")])
    findings = judge([Case(reading, 1, 5)]).findings
    assert [(finding.rule, finding.line, finding.severity) for finding in findings] == [
        ("recipe", None, "warning"),
        ("unread", 4, "error"),
    ]
    assert findings[0].certainty == "unproven"
    silent = [id for id, why in judge([Case(reading, 1, 5)]).silent.items() if why.startswith("it needs")]
    assert set(silent) == set(RULES) - WITHOUT_RECIPE
    assert f"so {len(silent)} rules" in findings[0].message


def test_what_one_case_could_judge_is_not_called_silent() -> None:
    bare = Case(Reading(), 1, 5)
    assert judge([bare, case_of(good())]).findings == ()


def test_an_altered_block() -> None:
    case = case_of(good(), seals=(MarkedBlock(7101, 11, 39, "AA", "AA"), MarkedBlock(7102, 40, 41, "AA", "BB")))
    finding = the(case, "altered")
    assert (finding.line, finding.certainty, finding.severity) == (40, "changed", "error")


def test_what_nobody_knows_and_what_nobody_works_out() -> None:
    case = case_of(good())
    case.reading.unread.append(Unread(12, "G999", "no word of this control"))
    case.reading.unread.append(Unread(900, "G999", "no word of this control"))
    case.reading.unmodelled.append((901, 905, "G41 (compensation)"))
    assert [(found.rule, found.line, found.severity, found.certainty) for found in judge([case]).findings] == [
        ("unread", 12, "error", "unproven"),
        ("unread", 900, "warning", "unproven"),
        ("unmodelled", 901, "warning", "unproven"),
    ]


def test_without_a_lock_the_window_is_said() -> None:
    # 200/250 and 300/250
    lines = good()
    del lines["lock"], lines["free"]
    finding = the(case_of(lines, override_lock=False), "override")
    assert (finding.severity, finding.certainty) == ("warning", "unproven")
    assert "from 80 % to 120 %" in finding.message


def test_where_no_word_waits_for_motion_nothing_is_written() -> None:
    lines = good()
    findings = judge([case_of(lines, synchronise=False)]).findings
    written = ("set flag", "write stick", "count", "clear flag")
    assert [(f.rule, f.line) for f in findings] == [("register-order", line_of(lines, name)) for name in written]
    assert judge([case_of(without("flag", "write", "count", "wait to"), synchronise=False)]).findings == ()


def test_modes_that_nothing_states() -> None:
    finding = the(case_of(good(), leaves={"path": "exact-stop"}), "modes-restored")
    assert "path" in finding.message


def test_a_block_in_numbers_is_right_once() -> None:
    dress = dress_of(changed(MACHINE, registers=None), RECIPE)
    lines = {
        name: items for name, items in good().items() if "?" not in name and "use" not in name and "write" not in name
    }
    case = case_of(lines, dress)
    between = Move("rapid", 900, {}, None, ("X",), "work")
    twice = replace(case, reading=replace(case.reading, steps=[*case.reading.steps, between, *case.reading.steps]))
    assert judge([case]).findings == ()
    steps = len(case.reading.steps)
    stay(twice.reading, range(steps), range(steps + 1, 2 * steps + 1))
    assert "reached twice" in the(twice, "right-once").message


def test_a_dresser_in_its_own_offset() -> None:
    dress = dress_of(changed(MACHINE, dresser__offset={"word": "G59", "values": {"U": "0 mm"}}))
    lines = good()
    for name in ("park", "at", "lateral", "envelope", "approach", "plunge", "retract"):
        (go,) = lines[name]
        assert isinstance(go, Go)
        lines[name] = [replace(go, frame="G59")]
    assert judge([case_of(lines, dress)]).findings == ()
    assert "frame" in {finding.rule for finding in judge([case_of(lines)]).findings}


# -- states in which a block must refuse

WORN_OUT = State({"wheel_diameter": 99.99, "stick_length": 150, "parts_since_dress": 0, "in_progress": 0})
TOO_LONG = State({"wheel_diameter": 125, "stick_length": 150.01, "parts_since_dress": 0, "in_progress": 0})
INTERRUPTED = State({"wheel_diameter": 125, "stick_length": 150, "parts_since_dress": 0, "in_progress": 1})


def refusing(**fields: Any) -> Case:
    lines = {
        name: items for name, items in good().items() if name in ("modes", "cancel", "park", "flag?", "wheel low?")
    }
    lines["message"] = [Refuse(0, "NO"), End(0)]
    return case_of(lines, state=WORN_OUT, accepted=False, **fields)


def test_a_state_that_is_refused_as_it_should_be() -> None:
    assert judge([refusing()]).findings == ()


def test_a_state_outside_that_dresses_is_found_where_it_was_compared() -> None:
    lines = good()
    compared = ((WORN_OUT, "wheel low?"), (TOO_LONG, "stick high?"), (INTERRUPTED, "flag?"), (State({}), "wheel low?"))
    for state, name in compared:
        findings = judge([case_of(lines, state=state, accepted=False)]).findings
        assert [(finding.rule, finding.line) for finding in findings] == [("accept-only", line_of(lines, name))]


def test_a_message_that_the_program_does_not_stop_at() -> None:
    case = refusing()
    case.reading.steps.pop()
    case.reading.steps.append(Stop(case.last))
    assert [finding.rule for finding in judge([case]).findings] == ["accept-only"]


def test_no_message_at_all() -> None:
    case = refusing()
    case.reading.steps.pop()
    case.reading.steps.pop()
    stay(case.reading, range(len(case.reading.steps)))
    assert "ends without a message" in the(case, "accept-only").message


def test_what_happens_behind_the_message_when_cycle_start_is_pressed_again() -> None:
    case = refusing()
    case.reading.halt = case.reading.first_halt
    case.reading.steps.append(Spindle(case.last, 3056, "cw"))
    stay(case.reading, range(len(case.reading.steps)))
    assert "pressed again" in the(case, "accept-only").message


def test_an_incremental_stroke() -> None:
    dress = dress_of(
        changed(
            MACHINE,
            registers=None,
            dresser__motion="incremental",
            dresser__stand_off="3 mm",
            dresser__dresses_per_set_up=10,
            dresser__datum=None,
            dresser__parked=None,
        )
    )
    ordered: Lines = {}
    for name, items in without("?", "use", "write", "flag", "count", "read", "park", *MOTION).items():
        if name == "free":
            ordered["stroke"] = [Mode("distance", "incremental"), Go("U", 11, 300.02, frame="incremental")]
            ordered["back"] = [Go("U", -3, frame="incremental"), Mode("distance", "absolute")]
        ordered[name] = items
    case = case_of(ordered, dress, State({"wheel_diameter": 125}, {"U": 20.0}))
    assert judge([case]).findings == ()
    short: Lines = {**ordered, "back": [Go("U", -2, frame="incremental"), Mode("distance", "absolute")]}
    found = [(f.rule, f.line) for f in judge([case_of(short, dress, case.state)]).findings]
    assert ("retract", line_of(short, "back")) in found


@pytest.mark.parametrize("first", [1, 2, 9, 12, 31])
@pytest.mark.parametrize("last", [12, 20, 30, 32, 40])
def test_where_a_block_lies_in_a_long_program(first: int, last: int) -> None:
    """Plain lines are kept in columns; a block may begin or end among them."""
    control = load_control("iso6983")
    alike = [f"G1 X{n}. F100." for n in range(1, 20)]
    text = "\n".join(["G21 G90 G94 G17", *alike, "M3 S500", "M5", *alike, "M30"])
    window = (range(first, last + 1),)
    long, short = (run(lower(text, control, fast=fast), window=window) for fast in (True, False))
    in_columns, in_full = (Case(reading, first, last) for reading in (long, short))
    assert isinstance(long.steps, Spread)
    inside = [at for at, step in enumerate(short.steps) if first <= step.line <= last]
    assert [list(visit) for visit in in_columns.block.visits] == [list(visit) for visit in in_full.block.visits]
    assert [at for visit in in_columns.block.visits for at in visit] == inside
    for kind in (Move, Spindle, Aux):
        assert list(in_columns.block.steps(kind)) == list(in_full.block.steps(kind))
    assert (
        list(long.stated(["feed"])) == list(short.stated(["feed"])) == [c for c in short.changes if c.group == "feed"]
    )
