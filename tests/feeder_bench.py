"""A bench with a timed feeder, invented, and how tests vary and judge it.

300 mm/min is 5 mm/s: 4 mm of stand-off and 8 mm of stick take 2.4 s.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from changed import changed
from gen.base.finding import Finding
from gen.bounds import judge
from gen.bounds.build import build
from gen.bounds.readback import case_of, read_cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.reader import lower
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE as SLIDE
from slide_bench import RECIPE as OPENING

MACHINE: dict[str, Any] = {
    "title": "Bench with an air feeder",
    "control": "iso6983",
    "axes": {
        "X": {"travel": ["-120 mm", "260 mm"], "max_feed": "3 m/min", "max_rapid": "10 m/min"},
        "Z": {"travel": ["-30 mm", "180 mm"], "max_feed": "2 m/min", "max_rapid": "8 m/min"},
    },
    "spindle": {"speed": ["800 rpm", "7000 rpm"], "direction": "cw", "spin_up": "3 s"},
    "dresser": {
        "kind": "timed",
        "rate": "300 mm/min",
        "rate_tolerance": "5 %",
        "air_tolerance": "5 %",
        "stand_off": "4 mm",
        "retract_wait": "1.2 s",
        "on_hold": "retracts",
        "on_reset": "retracts",
        "on_power_loss": "retracts",
        "single_block": "one-line",
        "min_stick": "35 mm",
        "guided": True,
        "lateral_axis": "Z",
        "at": {"X": "140 mm"},
    },
    "codes": {"feeder_on": "M71", "feeder_off": "M72"},
}
RECIPE = changed(OPENING, {"program": 7601, "wheel.name": "Wheel 9", "wheel.concentration": 75, "stick.grit": "F360"})
REGISTERS = SLIDE["registers"]
ON_AN_OUTPUT: dict[str, Any] = {
    "control": "rs274ngc",
    "registers": REGISTERS,
    "codes": {"feeder_on": "M64 P0", "feeder_off": "M65 P0"},
    "dresser.single_block": "inhibited",
}
"""What makes the bench one with registers, its valve on a digital output."""


def machine(changes: Mapping[str, Any] | None = None) -> Machine:
    return Machine.model_validate(changed(MACHINE, changes or {}))


def recipe(changes: Mapping[str, Any] | None = None) -> Recipe:
    return Recipe.model_validate(changed(RECIPE, changes or {}))


def dress_of(
    machine_changes: Mapping[str, Any] | None = None, recipe_changes: Mapping[str, Any] | None = None
) -> Dress:
    return Dress(recipe(recipe_changes), machine(machine_changes))


def drafted(
    machine_changes: Mapping[str, Any] | None = None,
    recipe_changes: Mapping[str, Any] | None = None,
    options: Options | None = None,
) -> Program:
    return draft(recipe(recipe_changes), machine(machine_changes), ("bench", "opening"), options or Options())


def built(machine_changes: Mapping[str, Any] | None = None, recipe_changes: Mapping[str, Any] | None = None) -> Program:
    """The program, read back and judged."""
    return build(recipe(recipe_changes), machine(machine_changes), ("bench", "opening"))


def body(program: Program) -> list[str]:
    """The lines that do something: from the modes on, without remarks and marks."""
    lines = program.text.splitlines()
    start = next(number for number, line in enumerate(lines) if line.startswith(("G20", "G21")))
    return [line for line in lines[start:] if not line.startswith(("(", "%"))]


def judged(program: Program) -> list[Finding]:
    """All that is found in the text as it stands, but for its seal."""
    if program.by_registers:
        cases = list(read_cases(program))
    else:
        lowered = lower(program.text, program.dialect.control)
        cases = [case_of(program, lowered, program.state, text=program.text)]
    return [found for found in judge(cases).findings if found.rule != "altered" and found.severity == "error"]


def planted(program: Program, edit: Callable[[str], str]) -> set[tuple[str, int | None]]:
    """Rule and line of all that is found once ``edit`` has changed the text."""
    text = edit(program.text)
    assert text != program.text
    return {(found.rule, found.line) for found in judged(replace(program, text=text))}


def line_of(program: Program, line: str, which: int = 0) -> int:
    """The number of a line of ``program``, from 1: the first that reads so, or number ``which`` of them."""
    return [number for number, text in enumerate(program.text.splitlines(), 1) if text == line][which]
