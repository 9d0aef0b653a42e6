"""An invented grinder with wheels on one spindle, and changes to it by dotted key."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from changed import changed
from gen.base.finding import Finding
from gen.bounds.build import build
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

Table = dict[str, Any]

MACHINE: Table = {
    "title": "Pack bench",
    "control": "rs274ngc",
    "axes": {
        "X": {"travel": ["-50 mm", "50 mm"], "max_feed": "2 m/min", "max_rapid": "8 m/min"},
        "Z": {"travel": ["-600 mm", "600 mm"], "max_feed": "2 m/min", "max_rapid": "8 m/min"},
        "V": {"travel": ["0 mm", "320 mm"], "max_feed": "600 mm/min", "max_rapid": "5 m/min"},
    },
    "spindle": {"speed": ["500 rpm", "6000 rpm"], "direction": "cw", "spin_up": "3 s"},
    "dresser": {
        "kind": "slide",
        "plunge_axis": "V",
        "machine_frame_feeds": True,
        "toward_wheel": "+",
        "datum": "330 mm",
        "parked": "0 mm",
        "clearance": "4 mm",
        "feed": ["10 mm/min", "400 mm/min"],
        "min_stick": "40 mm",
        "holder": ["20 mm", "30 mm"],
        "guided": True,
        "lateral_axis": "Z",
        "at": {"X": "20 mm"},
    },
    "registers": {
        "wheel_diameter": [501, 511, 512, 513],
        "stick_length": 502,
        "parts_since_dress": 503,
        "in_progress": 504,
        "scratch": [590, 599],
    },
}


def wheel(diameter: tuple[str, str], width: str, lateral: str, **own: object) -> Table:
    return {
        "name": "Wheel",
        "shape": "1A1",
        "contact": "periphery",
        "diameter": list(diameter),
        "width": width,
        "grit": "D64",
        "concentration": 75,
        "max_speed": "63 m/s",
        "lateral": lateral,
        **own,
    }


RECIPE: Table = {
    "title": "Pack",
    "program": 7301,
    "wheel": [
        wheel(("140 mm", "150 mm"), "10 mm", "40 mm"),
        wheel(("115 mm", "125 mm"), "6 mm", "80 mm", aggressiveness=220),
        wheel(("90 mm", "100 mm"), "20 mm", "125 mm", wheel_speed="18 m/s"),
    ],
    "stick": {"grit": "F400", "section": ["16 mm", "20 mm"], "length": "150 mm"},
    "dress": {"wheel_speed": "20 m/s", "plunge": "3 mm"},
}


def tables(recipe: Mapping[str, Any] | None = None, machine: Mapping[str, Any] | None = None) -> tuple[Recipe, Machine]:
    return (
        Recipe.model_validate(changed(RECIPE, recipe or {})),
        Machine.model_validate(changed(MACHINE, machine or {})),
    )


def dress_of(recipe: Mapping[str, Any] | None = None, machine: Mapping[str, Any] | None = None) -> Dress:
    return Dress(*tables(recipe, machine))


def drafted(
    recipe: Mapping[str, Any] | None = None,
    machine: Mapping[str, Any] | None = None,
    options: Options | None = None,
) -> Program:
    return draft(*tables(recipe, machine), ("bench", "pack"), options or Options())


def judged(recipe: Mapping[str, Any] | None = None, machine: Mapping[str, Any] | None = None) -> tuple[Finding, ...]:
    return build(*tables(recipe, machine), ("bench", "pack")).findings


def rules(findings: Iterable[Finding]) -> set[str]:
    return {finding.rule for finding in findings if finding.severity == "error"}
