"""Bad machine and recipe files, made key by key from the good ones, and the words that each message must have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from example_files import GONE, MACHINE, RECIPE, tables

WRONG_UNIT = {"length": "5 rpm", "feed": "5 mm", "speed": "5 kW", "rotation": "5 mm/min", "time": "5 mm"}
QUANTITIES = {
    "recipe": {
        "wheel.width": "length",
        "wheel.max_speed": "speed",
        "wheel.max_rpm": "rotation",
        "wheel.lateral": "length",
        "wheel.rim_depth": "length",
        "stick.length": "length",
        "dress.wheel_speed": "speed",
        "dress.plunge": "length",
        "dress.overlap": "length",
    },
    "machine": {
        "axes.U.max_feed": "feed",
        "axes.U.max_rapid": "feed",
        "axes.Z.max_feed": "feed",
        "axes.Z.max_rapid": "feed",
        "spindle.spin_up": "time",
        "dresser.datum": "length",
        "dresser.parked": "length",
        "dresser.clearance": "length",
        "dresser.min_stick": "length",
    },
}
PAIRS = {
    "recipe": ("wheel.diameter", "stick.section"),
    "machine": ("axes.U.travel", "axes.Z.travel", "spindle.speed", "dresser.feed"),
}
NEEDED = {
    "recipe": (
        *("title", "program", "wheel", "stick", "dress", "wheel.name", "wheel.shape", "wheel.contact"),
        *("wheel.diameter", "wheel.width", "wheel.grit", "wheel.concentration", "stick.grit", "stick.section"),
        *("stick.length", "dress.plunge"),
    ),
    "machine": (
        *("title", "control", "axes", "spindle", "dresser", "spindle.speed", "spindle.direction", "spindle.spin_up"),
        *("dresser.kind", "axes.U.travel", "axes.U.max_feed", "axes.U.max_rapid"),
    ),
}
TEXTS = {"recipe": ("title", "wheel.name", "wheel.shape", "stick.grit"), "machine": ("title",)}
WHOLES = {
    "recipe": ("program", "prove_out_program", "dress.plunges", "dress.every_parts"),
    "machine": ("registers.wheel_diameter", "registers.stick_length", "registers.in_progress"),
}
NUMBERS: dict[str, tuple[str, ...]] = {"recipe": ("wheel.concentration", "dress.aggressiveness"), "machine": ()}
CHOICES = {
    "recipe": ("wheel.contact", "dress.lanes", "form"),
    "machine": ("spindle.direction", "dresser.kind", "dresser.toward_wheel"),
}
TABLES = {
    "recipe": ("wheel", "stick", "dress"),
    "machine": ("axes.U", "axes.Z", "spindle", "dresser", "registers", "host"),
}


@dataclass(frozen=True)
class Bad:
    """A file of ``kind`` with ``key`` set to ``value``; its message names the key and has ``says`` in it."""

    kind: str
    key: str
    value: object
    says: str

    @property
    def tables(self) -> dict[str, Any]:
        return tables(RECIPE if self.kind == "recipe" else MACHINE, {self.key: self.value})


def bad_inputs() -> Iterator[Bad]:
    for kind in ("recipe", "machine"):
        for key, dimension in QUANTITIES[kind].items():
            yield from _quantities(kind, key, dimension)
        for key in PAIRS[kind]:
            yield Bad(kind, key, "5 mm", "a list of two values is wanted")
            yield Bad(kind, key, [], "a list of two values is wanted")
            yield Bad(kind, key, ["5 mm", "6 mm", "7 mm"], "")
            yield Bad(kind, key, [1, 2], "needs its unit")
            yield Bad(kind, key, [True, {}], "is wanted")
        for key in NEEDED[kind]:
            table = key in ("wheel", "stick", "dress", "spindle", "dresser")
            yield Bad(kind, key, GONE, "this table is missing" if table else "this key is missing")
        for key in TEXTS[kind]:
            yield Bad(kind, key, "", "read an empty text")
            yield Bad(kind, key, "  ", "read an empty text")
            yield Bad(kind, key, "a\nb", "a line break or another character that cannot be printed (U+000A)")
            yield Bad(kind, key, "\x1b[2J", "(U+001B)")
            yield Bad(kind, key, "a\u202eb", "(U+202E)")
            yield Bad(kind, key, "x" * 5000, "5000 characters long")
            yield Bad(kind, key, 7, "wanted")
            yield Bad(kind, key, ["x"], "wanted")
        for key in WHOLES[kind]:
            wholes: tuple[object, ...] = ("7", 7.5, True, [], {}, -1, 10**30)
            yield from (Bad(kind, key, value, "") for value in wholes)
        for key in NUMBERS[kind]:
            yield Bad(kind, key, "7", "without quotes")
            yield Bad(kind, key, True, "a number is wanted")
            yield Bad(kind, key, [1], "a number is wanted")
            yield Bad(kind, key, 0, "more than 0")
            yield Bad(kind, key, -5, "more than 0")
            yield Bad(kind, key, 10**9, "")
            yield Bad(kind, key, float("nan"), "not a finite number")
            yield Bad(kind, key, float("inf"), "not a finite number")
            yield Bad(kind, key, 0.12345678, "at most 6 decimals")
        for key in CHOICES[kind]:
            choices: tuple[object, ...] = ("sideways", "", 7, ["periphery"])
            yield from (Bad(kind, key, value, "") for value in choices)
        for key in TABLES[kind]:
            yield Bad(kind, f"{key}.colour", "blue", "this key is not known; the keys known here are")
            yield Bad(kind, key, 7, "table")
            yield Bad(kind, key, "x", "table")
        yield Bad(kind, "colour", "blue", "this key is not known; the keys known here are")


def _quantities(kind: str, key: str, dimension: str) -> Iterator[Bad]:
    good = {"length": "mm", "feed": "mm/min", "speed": "m/s", "rotation": "rpm", "time": "s"}[dimension]
    yield Bad(kind, key, WRONG_UNIT[dimension], "is wanted, such as")
    yield Bad(kind, key, 7, "a bare number")
    yield Bad(kind, key, "7", "a bare number")
    yield Bad(kind, key, f"7,5 {good}", "with a point, not a comma")
    yield Bad(kind, key, "7 parsecs", "a unit that is not known")
    yield Bad(kind, key, f"nan {good}", "not a finite number")
    yield Bad(kind, key, f"1e5 {good}", "with an exponent")
    yield Bad(kind, key, "7" * 35 + f" {good}"[:5], "")
    yield Bad(kind, key, "x" * 500, "too long")
    yield Bad(kind, key, "", "not a number and a unit")
    yield Bad(kind, key, True, "read true")
    yield Bad(kind, key, ["7 mm"], "read a list")
    yield Bad(kind, key, {"a": 1}, "read a table")
