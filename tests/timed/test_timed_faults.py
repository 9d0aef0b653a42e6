"""What may go wrong with a timed feeder: each fault by its own rule, at its line."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from feeder_bench import ON_AN_OUTPUT, built, drafted, judged, line_of, planted
from gen.base.finding import Finding
from gen.control.options import Options

PRESS = "M71 G4 X2.4 (FEEDER OUT)"
BACK = "M72\nG4 X1.2 (FEEDER BACK)"


def instead(old: str, new: str, which: int = 0) -> Callable[[str], str]:
    """An edit: ``old``, or number ``which`` of its kind, with ``new`` in its place."""

    def edit(text: str) -> str:
        parts = text.split(old)
        assert len(parts) > which + 1
        return old.join(parts[: which + 1]) + new + old.join(parts[which + 1 :])

    return edit


# what is changed, which of them, to what, the rule, and the line that it names (counted before the change)
FAULTS: list[tuple[str, int, str, str, tuple[str, int]]] = [
    ("X2.4", 0, "X2.6", "plunge-depth", (PRESS, 0)),  # 1 mm more
    ("X2.4", 0, "X2.2", "plunge-depth", (PRESS, 0)),
    ("X2.4", 0, "X0.7", "plunge-depth", (PRESS, 0)),  # 3.5 mm: does not get there
    ("X2.4", 0, "P2400", "unread", (PRESS, 0)),
    (BACK, 1, "\nG4 X1.2", "retract", (PRESS, 0)),
    ("G4 X1.2 (FEEDER BACK)", 1, "", "retract", ("M72", 1)),
    ("G4 X1.2 (FEEDER BACK)", 1, "G4 X0.9", "retract", ("M72", 1)),
    (BACK, 0, "\n", "approach-path", ("G53 G0 X140.", 0)),
    ("G4 X1.2 (FEEDER BACK)", 0, "", "approach-path", ("G53 G0 X140.", 0)),
    (PRESS, 0, "M71", "feeder", (PRESS, 0)),
    (PRESS, 0, "M71 G4 X2.4\nG4 X0.1", "no-wait-in-contact", ("M72", 1)),
    (PRESS, 0, "M71 G4 X2.4\nM9", "no-wait-in-contact", ("M72", 1)),
    (PRESS, 0, "M71 G4 X2.4\nM0", "no-wait-in-contact", ("M72", 1)),
    (PRESS, 0, "M71 G4 X2.4\nG53 G0 Z40.", "single-axis-plunge", ("M72", 1)),
    ("M3 S3056", 0, "", "spindle-running", (PRESS, 0)),
    ("M3 S3056", 0, "M4 S3056", "spindle-running", ("M3 S3056", 0)),
    ("G4 X3. (SPINDLE AT SPEED)", 0, "", "spindle-running", ("M3 S3056", 0)),
    ("M8\n", 0, "\n", "coolant", (PRESS, 0)),
    ("G4 X2. (COOLANT ON THE STICK)", 0, "", "coolant", ("M8", 0)),
    ("M49", 0, "", "override", (PRESS, 0)),
    ("M48", 0, "M48\nM71 G4 X0.1", "retract", ("M9", 0)),
    ("M48", 0, "M48\nG53 G0 Z0.", "retract", ("M9", 0)),
    ("G53 G0 X140.\nG53 G0 Z42.5", 0, "G53 G0 Z42.5\nG53 G0 X140.", "approach-path", ("G53 G0 X140.", 0)),
    ("G53 G0 Z42.5", 0, "G53 G0 Z41.5", "approach-path", ("G53 G0 Z42.5", 0)),
]


@pytest.mark.parametrize(
    "fault", FAULTS, ids=[f"{old[:12]} {which} > {new[:18]}".replace("\n", "|") for old, which, new, *_ in FAULTS]
)
def test_planted(fault: tuple[str, int, str, str, tuple[str, int]]) -> None:
    old, which, new, rule, (line, number) = fault
    program = drafted()
    assert judged(program) == []
    found = planted(program, instead(old, new, which))
    assert (rule, line_of(program, line, number)) in found, found


def test_one_plunge_too_many() -> None:
    program = drafted({"dresser.self_adjusting": True})
    edit = instead(PRESS, f"{PRESS}\nM72\nG4 X1.2\n{PRESS}")
    assert ("plunge-depth", line_of(program, PRESS) + 3) in planted(program, edit)


def test_on_again_before_it_is_back() -> None:
    # nobody knows how far it has come back, so that it counts as out all the while
    program = drafted()
    found = planted(program, instead(PRESS, f"{PRESS}\nM72\nG4 X0.5\n{PRESS}"))
    assert {("retract", line_of(program, "M72", 1)), ("plunge-depth", line_of(program, PRESS) + 3)} <= found


def test_feeder_on_and_its_dwell_parted() -> None:
    program = drafted()
    assert planted(program, instead(PRESS, "M71\nG4 X2.4")) == {("feeder", line_of(program, PRESS))}


def test_two_lines_are_right_where_single_block_is_ignored() -> None:
    program = drafted({"dresser.single_block": "inhibited"})
    assert judged(program) == []
    # but nothing may stand between them
    edit = instead("M71\nG4", "M71\nM8\nG4")
    assert ("feeder", line_of(program, "M71")) in planted(program, edit)


def test_the_signal_dropped() -> None:
    program = drafted({"codes.feeder_retracted": "M73"})
    found = planted(program, instead("M72\nM73", "M72\n", 1))
    assert ("retract", line_of(program, "M72", 1)) in found


def test_a_prove_out_with_the_feeder_on() -> None:
    program = drafted(options=Options(purpose="prove-out"))
    found = planted(program, instead("G4 X2.4", "M71 G4 X2.4"))
    assert ("prove-out", line_of(program, "G4 X2.4 (FEEDER STAYS OFF)")) in found


def test_the_block_run_twice_from_one_set_up() -> None:
    host = "M98 P7601\nM0\nM98 P7601\nM30\n"
    once = drafted(options=Options(form="subprogram"))
    assert [rule for rule, _ in planted(once, lambda text: host + text)] == ["right-once"]
    adjusting = drafted(
        {"dresser.self_adjusting": True, "dresser.dresses_per_set_up": 9}, options=Options(form="subprogram")
    )
    assert planted(adjusting, lambda text: host + text) == set()


# -- registers


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        ("M64 P0", "", "plunge-depth"),
        ("G4 P2.4 (feeder out)", "", "feeder"),
        ("#504 = [1] (in progress)", "", "register-order"),
        ("#503 = [0] (parts since dress)", "", "register-order"),
        ("O9002 if [#501 GE 100]", "O9002 if [#501 GE 90]", "accept-only"),
        ("M65 P0\nG4 P1.2 (feeder back)\n(registers", "M64 P0\nG4 P1.2\n(registers", "accept-only"),
    ],
)
def test_planted_with_registers(old: str, new: str, rule: str) -> None:
    program = drafted(ON_AN_OUTPUT)
    assert judged(program) == []
    assert rule in {fired for fired, _ in planted(program, instead(old, new))}


@pytest.mark.parametrize("which", [0, 1])
def test_the_wait_for_motion_dropped(which: int) -> None:
    program = drafted(ON_AN_OUTPUT)
    assert "register-order" in {rule for rule, _ in planted(program, instead("M66 P0 L0", "", which))}


# -- what the machine file says


def only(changes: dict[str, Any], recipe: dict[str, Any] | None = None) -> Finding:
    (finding,) = built(changes, recipe).findings
    return finding


@pytest.mark.parametrize("key", ["on_hold", "on_reset", "on_power_loss"])
@pytest.mark.parametrize("answer", ["stays", "advances", "unknown", None])
def test_anything_but_retracts_is_refused(key: str, answer: str | None) -> None:
    finding = only({f"dresser.{key}": answer})
    assert (finding.rule, finding.line, finding.severity) == ("feeder", None, "error")
    assert key in finding.message


def test_single_block_has_to_be_settled() -> None:
    finding = only({"dresser.single_block": None})
    assert finding.rule == "feeder"
    assert "single_block" in finding.message


def test_all_that_is_wrong_is_said_at_once() -> None:
    finding = only({"dresser.on_hold": "stays", "dresser.on_reset": None, "dresser.single_block": None})
    assert all(word in finding.message for word in ("a feed hold", "a reset", "single block"))


# -- the valve


def test_both_ends_of_the_valve_are_held_against_the_band() -> None:
    # at 20 m/s the number is 10/12 of the rate in mm/min: 285 to 315 gives 237.5 to 262.5
    assert built({}, {"dress.band": [238.5, 300]}).accepted is False
    assert built({}, {"dress.band": [237, 263]}).accepted
    finding = only({}, {"dress.band": [200, 261]})
    assert finding.rule == "aggressiveness"
    assert "237.5 to 262.5" in finding.message


def test_at_a_fixed_speed_the_worn_wheel_is_dressed_harder() -> None:
    # 3056 rpm and 100 mm: 16 m/s, 315 mm/min is 328
    finding = only({}, {"dress.wheel_speed": None, "dress.speed": "3056 rpm"})
    assert finding.rule == "aggressiveness"
    assert "328" in finding.message


@pytest.mark.parametrize("machine", [{"dresser.rate": "400 mm/min"}, {"dresser.rate_tolerance": "25 %"}])
def test_what_is_proposed_is_accepted(machine: dict[str, Any]) -> None:
    refused = built(machine)
    (finding,) = [found for found in refused.findings if found.rule == "aggressiveness"]
    assert finding.changes
    changes = {change.key: change.value for change in finding.changes if change.file == "machine"}
    assert any(built({**machine, key: value}).accepted for key, value in changes.items())


def test_a_slow_valve_must_still_reach_the_wheel() -> None:
    # 20 % of 4 mm of air is 0.8 mm, more than the 0.5 mm planned
    slow = {"dresser.rate_tolerance": "19 %", "dresser.air_tolerance": "20 %"}
    found = built(slow, {"dress.plunge": "0.5 mm"}).findings
    finding = next(one for one in found if one.rule == "plunge-depth")
    assert "not as far as the wheel" in finding.message
    # t (1 − 0.19) > 0.2 · 4, t > 0.988
    assert built(slow, {"dress.plunge": "1 mm"}).accepted


def test_a_fast_valve_must_not_go_too_deep() -> None:
    assert built({"dresser.max_plunge": "8.6 mm"}).accepted
    finding = only({"dresser.max_plunge": "8.5 mm"})
    assert finding.rule == "plunge-depth"
    assert "8.6 mm" in finding.message


def test_a_fast_valve_must_not_remove_too_much() -> None:
    # 10 x 20 mm of stick at 300 mm/min and 5 % more: 63 cm3/min
    assert built({"dresser.max_removal": "63000 mm3/min"}).accepted
    finding = only({"dresser.max_removal": "62000 mm3/min"})
    assert finding.rule == "removal"
    assert "63000 mm3/min" in finding.message
    # 62000 / 200 / 1.05 = 295.2 mm/min; or 310 / 300, 3.3 % off
    values = {change.key: change.value for change in finding.changes}
    assert values == {"dresser.rate": "295 mm/min", "dresser.rate_tolerance": "3 %"}
    for key, value in values.items():
        assert built({"dresser.max_removal": "62000 mm3/min", key: value}).accepted


def test_a_stick_lasts_for_one_set_up_of_a_fast_valve() -> None:
    # 150 − 35 = 115 mm; 13 · 8.6 = 111.8, 14 · 8.6 = 120.4
    adjusting: dict[str, Any] = {"dresser.self_adjusting": True}
    assert built({**adjusting, "dresser.dresses_per_set_up": 13}).accepted
    finding = only({**adjusting, "dresser.dresses_per_set_up": 14})
    assert finding.rule == "stick-length"
    assert finding.changes[0].value == 13


def test_the_stand_off_clears_the_groove() -> None:
    # 100 mm and 20 mm: 50 − √(2500 − 100) = 1.01, + 0.5 + 1
    assert built({"dresser.stand_off": "2.52 mm"}).accepted
    assert only({"dresser.stand_off": "2.5 mm"}).rule == "rapid-clearance"


def test_a_block_that_counts_the_parts_wants_a_feeder_that_keeps_its_stand_off() -> None:
    changes = {"form": "subprogram", "dress.every_parts": 6}
    finding = only(ON_AN_OUTPUT, changes)
    assert finding.rule == "right-once"
    assert "8 mm greater" in finding.message
    (change,) = finding.changes
    assert change.key == "dress.every_parts"
    assert built(ON_AN_OUTPUT, {"form": "subprogram"}).accepted
    adjusting = {"dresser.self_adjusting": True, "dresser.dresses_per_set_up": 9}
    assert built({**ON_AN_OUTPUT, **adjusting}, changes).accepted
