"""A narrow wheel under a wide stick, one lane a dress, on every control with registers. All invented.

A wheel of 3 mm under a stick of 13 mm with lanes that overlap by 1 mm: six lanes 2 mm apart (geometry), the first
5 mm to one side of the middle. Datum 260 mm, two plunges of 2 mm.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from changed import changed
from example_files import MACHINE, RECIPE, tables
from gen.bounds.build import build
from gen.control.draft import Program
from gen.control.options import Options
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

CENTRE, FIRST, PITCH, LANES = 42.5, -5.0, 2.0, 6
DATUM, DEPTH, PLUNGES = 260.0, 2.0, 2
DIAMETER, LENGTH, PARTS, FLAG, LANE = 501, 502, 503, 504, 505

SHOP: dict[str, Any] = {
    "machine": changed(
        tables(MACHINE, {}),
        {"registers.next_lane": LANE, "dresser.machine_frame_feeds": True, "dresser.guided": True, "host": None,
         "codes": {}},
    ),
    "recipe": changed(
        tables(RECIPE, {}),
        {"wheel.width": "3 mm", "stick.section": ["13 mm", "20 mm"], "dress.plunge": "2 mm", "dress.plunges": 2,
         "dress.lanes": "next", "dress.every_parts": None},
    ),
}  # fmt: skip


def program(
    control: str,
    folder: Path,
    *,
    machine: dict[str, Any] | None = None,
    recipe: dict[str, Any] | None = None,
    **options: Any,
) -> Program:
    """The judged program on ``control``, which may be one that lies in ``folder``, with some keys changed."""
    return build(
        Recipe.model_validate(changed(SHOP["recipe"], recipe)),
        Machine.model_validate(changed(SHOP["machine"], {"control": control, **(machine or {})})),
        ("bench", "narrow"),
        Options(control_folders=(folder,), **options),
    )
