"""The way from the envelope to the clearance before contact is no faster than the top of the band.

Checked against F = 0.06 · Aggr · v_s (see gen/physics/contact.py for its source), worked out here by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from test_kinds import SHOP, changed

from gen.bounds.build import build
from gen.bounds.judge import judge
from gen.bounds.readback import read_cases
from gen.control.draft import Program
from gen.control.options import Options
from gen.plan.evaluate import at
from gen.plan.step import Move
from gen.shop.load import load_machine, load_recipe
from gen.shop.machine import Machine

BENCH = SHOP / "north-bench"


def built(**dresser: Any) -> Program:
    machine = Machine.model_validate(changed("north-bench", **dresser)) if dresser else None
    recipe = load_recipe(BENCH / "dress" / "flute-rough.toml")
    machine = machine or load_machine(BENCH / "machine.toml")
    return build(recipe, machine, ("north-bench", "flute-rough"), Options())


def approach(program: Program) -> float:
    moves = [step for step in at(program.plan, program.dress.state()) if isinstance(step, Move)]
    feeds = [move.rate for move in moves if move.rate is not None]
    assert len(feeds) == 2
    return feeds[0]


def test_it_follows_the_band() -> None:
    program = built()
    assert program.accepted
    # a band to 300 at 20 m/s: 0.06 · 300 · 20 = 360 mm/min, the speed being a whole rpm
    assert approach(program) == pytest.approx(360, abs=0.3)
    assert approach(program) <= 0.06 * 300 * 20 + 0.06 * 300 * 20 * 0.5 / 3056


def test_dresser_and_axis_come_before_the_band() -> None:
    assert approach(built(feed=["10 mm/min", "320 mm/min"])) == 320


def test_a_stated_feed_within_the_band_is_taken() -> None:
    program = built(approach_feed="200 mm/min")
    assert approach(program) == 200
    assert [one for one in program.findings if one.rule == "plunge-feed"] == []


def test_a_stated_feed_above_the_band_says_what_a_forgotten_new_stick_would_meet() -> None:
    fast: Mapping[str, Any] = {"feed": ["10 mm/min", "600 mm/min"], "approach_feed": "600 mm/min"}
    program = built(**fast)
    assert approach(program) == 600
    (found,) = (one for one in program.findings if one.rule == "plunge-feed")
    assert found.severity == "warning"
    # 600 / 0.06 / 20 = 500; 150 mm new, 38 mm the shortest a dress begins with, less the clearance of 4 mm: 108 mm
    assert "an aggressiveness of 500, up to 108 mm deep" in found.message


def test_a_faster_approach_than_the_band_is_refused_unless_the_machine_file_states_it() -> None:
    program = built()
    by_hand = replace(program, text=program.text.replace("F#594", "F390"))
    assert by_hand.text != program.text
    found = [one for one in judge(read_cases(by_hand)).findings if one.rule == "plunge-feed"]
    assert found
    assert all("at this wheel speed the band ends at 3" in one.message for one in found)
