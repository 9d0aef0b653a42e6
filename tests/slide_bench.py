"""A bench whose slide plunges from a datum, invented; benches that differ in a few keys are made from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

MACHINE: dict[str, Any] = {
    "title": "Bench",
    "control": "rs274ngc",
    "axes": {
        "U": {"travel": ["0 mm", "190 mm"], "max_feed": "600 mm/min", "max_rapid": "5 m/min"},
        "Z": {"travel": ["-20 mm", "220 mm"], "max_feed": "2000 mm/min", "max_rapid": "10 m/min"},
        "X": {"travel": ["-150 mm", "250 mm"], "max_feed": "4 m/min", "max_rapid": "12 m/min"},
    },
    "spindle": {"speed": ["500 rpm", "6000 rpm"], "direction": "cw", "spin_up": "3 s"},
    "dresser": {
        "kind": "slide",
        "plunge_axis": "U",
        "machine_frame_feeds": True,
        "toward_wheel": "+",
        "datum": "260 mm",
        "parked": "0 mm",
        "clearance": "4 mm",
        "feed": ["10 mm/min", "400 mm/min"],
        "min_stick": "30 mm",
        "guided": True,
        "lateral_axis": "Z",
        "at": {"X": "180 mm"},
    },
    "registers": {
        "wheel_diameter": 501,
        "stick_length": 502,
        "parts_since_dress": 503,
        "in_progress": 504,
        "scratch": [590, 599],
    },
}
RECIPE: dict[str, Any] = {
    "title": "Opening",
    "program": 7101,
    "wheel": {
        "name": "Flute wheel 7",
        "shape": "1A1",
        "contact": "periphery",
        "diameter": ["100 mm", "125 mm"],
        "width": "10 mm",
        "grit": "D64",
        "concentration": 100,
        "max_speed": "63 m/s",
        "lateral": "42.5 mm",
    },
    "stick": {"grit": "F400", "section": ["10 mm", "20 mm"], "length": "150 mm"},
    "dress": {"wheel_speed": "20 m/s", "aggressiveness": 250, "band": [200, 300], "plunge": "8 mm"},
}


def dress_of(machine: Mapping[str, Any] = MACHINE, recipe: Mapping[str, Any] = RECIPE) -> Dress:
    return Dress(Recipe.model_validate(recipe), Machine.model_validate(machine))
