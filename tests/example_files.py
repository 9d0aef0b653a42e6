"""The two files that the design gives as examples, and how tests vary them."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from typing import Any

from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

MACHINE = """
title = "…"
control = "rs274ngc"
[axes.U]
travel = ["0 mm", "190 mm"]
max_feed = "600 mm/min"
max_rapid = "5 m/min"
[axes.Z]
travel = ["-20 mm", "220 mm"]
max_feed = "2000 mm/min"
max_rapid = "10 m/min"
[spindle]
speed = ["500 rpm", "6000 rpm"]
direction = "cw"                  # the M3 sense; must push the stick into its seat
spin_up = "3 s"                   # longest change between any two speeds
[dresser]
kind = "slide"                    # slide | table | timed
plunge_axis = "U"
toward_wheel = "+"
datum = "260 mm"
parked = "0 mm"
clearance = "4 mm"
feed = ["10 mm/min", "400 mm/min"]
min_stick = "30 mm"               # left after the last plunge
lateral_axis = "Z"                # optional, with lateral_sign = "+"
at = {}                           # other axes the datum depends on, in moving order
[codes]                           # what differs from the control's own
coolant_on = "M8"
coolant_off = "M9"
[registers]                       # controls with variables
wheel_diameter = 501
stick_length = 502
parts_since_dress = 503
in_progress = 504
scratch = [590, 599]
[host]                            # the modes a free-standing block leaves (splice restores the real ones)
modes = ["G21", "G90", "G94", "G17"]
"""
RECIPE = """
title = "…"
program = 7101
[wheel]
name = "…"
shape = "1A1"                        # ISO 6104
contact = "periphery"                # periphery | face (then gauge = ["worn", "new"])
diameter = ["100 mm", "125 mm"]      # worn, new
width = "10 mm"                      # face contact: the rim's radial width
grit = "D64"
concentration = 100
max_speed = "63 m/s"                 # as marked; also max_rpm
lateral = "42.5 mm"
[stick]
grit = "F400"
section = ["10 mm", "25 mm"]         # width across the rim, height along its motion
length = "150 mm"                    # new
[dress]
wheel_speed = "20 m/s"               # held over wear; or speed = "3056 rpm"
aggressiveness = 250
band = [200, 300]
plunge = "8 mm"
plunges = 1
coolant = true
every_parts = 6
"""

GONE = object()


def tables(text: str, changes: dict[str, object]) -> dict[str, Any]:
    """``text`` as tables, with each dotted key changed, or taken out for ``GONE``."""
    read = tomllib.loads(text, parse_float=Decimal)
    for dotted, value in changes.items():
        *path, last = dotted.split(".")
        table = read
        for name in path:
            table = table.setdefault(name, {})
        if value is GONE:
            del table[last]
        else:
            table[last] = value
    return read


def machine(**changes: object) -> Machine:
    return Machine.model_validate(tables(MACHINE, {key.replace("__", "."): value for key, value in changes.items()}))


def recipe(**changes: object) -> Recipe:
    return Recipe.model_validate(tables(RECIPE, {key.replace("__", "."): value for key, value in changes.items()}))
