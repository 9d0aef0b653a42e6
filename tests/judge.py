"""The outside judge: Debian's ``rs274`` runs a program, and what it prints is turned into neutral steps.

It knows the axes X Y Z A B C, prints program coordinates with four decimals
and the offsets to add, and does not print writes or waits for motion. A timed
feeder depends on its digital outputs.
"""

from __future__ import annotations

import os
import re
import subprocess
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from gen.plan.step import Aux, Coolant, Direction, Dwell, End, Move, Refuse, Spindle, Step, Stop, Write
from outside import outside

AXES = "XYZABC"
ORIGIN = dict.fromkeys(AXES, 0.0)
"""Where the judge starts."""

TOLERANCE = 0.00006 * 25.4
"""Half of the last place it prints, in mm if the program counts in inches, and a little for the sum."""

_REQUIRED = [*range(5161, 5170), *range(5181, 5190), *range(5210, 5221)]
_REQUIRED += [number for first in range(5221, 5382, 20) for number in range(first, first + 10)]
_CALL = re.compile(r"\s*\d+ N\S*\s+([A-Z0-9_]+)\((.*)\)$")
_SILENT = ("synchronise", "feeder-retracted")
_PLANES = {"CANON_PLANE_XY": "XYZ", "CANON_PLANE_XZ": "ZXY", "CANON_PLANE_YZ": "YZX"}


@dataclass
class Verdict:
    """What the judge made of a program; ``arcs`` holds the centre (two coordinates, mm) of each arc, by step.

    ``turns``: how often it goes round, one that is begun included; less than 0 is clockwise.
    """

    steps: list[Step] = field(default_factory=list)
    parameters: dict[int, float] = field(default_factory=dict)
    error: str = ""
    arcs: dict[int, tuple[float, float]] = field(default_factory=dict)
    turns: dict[int, int] = field(default_factory=dict)


def judge(
    text: str,
    *,
    registers: Mapping[int, float] | None = None,
    saved: Iterable[int] = (),
    letters: Mapping[str, str] | None = None,
    block_delete: bool = False,
) -> Verdict:
    """Runs ``text``. ``registers`` are set beforehand, those of ``saved`` come back in ``parameters``.

    ``letters`` gives the judge's axis for an axis it does not know, such as
    ``{"U": "X"}``; the steps come back in the program's own letters.
    """
    letters = dict(letters or {})
    with tempfile.TemporaryDirectory() as folder:
        program, store = Path(folder, "program.ngc"), Path(folder, "store.var")
        program.write_text(_relettered(text, letters))
        values = dict.fromkeys([*_REQUIRED, *saved], 0.0) | dict(registers or {})
        store.write_text("".join(f"{number}\t{value:.9f}\n" for number, value in sorted(values.items())))
        command = [outside("rs274"), "-v", store.name, *(["-b"] if block_delete else []), "-g", program.name]
        # it maps a tool table into the home folder, where two judges at once would break each other
        home = {**os.environ, "HOME": folder}
        ran = subprocess.run(command, cwd=folder, env=home, capture_output=True, text=True, timeout=60, check=False)
        verdict = _parsed(ran.stdout.splitlines(), {axis: letter for letter, axis in letters.items()})
        after = (line.split() for line in store.read_text().splitlines())
        verdict.parameters = {int(number): float(value) for number, value in after if int(number) in values}
    verdict.error = "\n".join(line for line in ran.stderr.splitlines() if line.strip() and line != "executing")
    if ran.returncode < 0:
        verdict.error = f"{verdict.error}\nthe judge was ended by signal {-ran.returncode}".strip()
    return verdict


def comparable(steps: Iterable[Step]) -> list[Step]:
    """``steps`` without those the judge does not print."""
    return [
        step
        for step in steps
        if not isinstance(step, Write) and not (isinstance(step, Aux) and step.function in _SILENT)
    ]


def _relettered(text: str, letters: Mapping[str, str]) -> str:
    if not letters:
        return text
    pieces = re.split(r"(\([^)]*\)|;.*|<[^>]*>)", text)
    word = re.compile(rf"([{''.join(letters)}])(?=\s*[-+.0-9\[#])", re.IGNORECASE)
    pieces[::2] = [word.sub(lambda found: letters[found[1].upper()], piece) for piece in pieces[::2]]
    return "".join(pieces)


def _parsed(lines: Sequence[str], names: Mapping[str, str]) -> Verdict:
    calls = [(found[1], found[2]) for found in map(_CALL.match, lines) if found]
    calls = _without_resets(calls)
    return _Canon(names).run(calls)


def _without_resets(calls: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """At the program end the judge switches everything to its defaults; that is not the program's doing."""
    ends = [at for at, (name, _) in enumerate(calls) if name == "PROGRAM_END"]
    if not ends:
        return calls
    end = ends[0]
    reset = max(at for at in range(end) if calls[at][0] == "SET_G5X_OFFSET")
    return [*calls[:reset], calls[end]]


class _Canon:
    def __init__(self, names: Mapping[str, str]) -> None:
        self.names = names
        self.verdict = Verdict()
        self.scale = 1.0
        self.rate: float | None = None
        self.per_turn = False
        self.offset = dict(ORIGIN)
        self.shift = dict(ORIGIN)
        self.at = dict(ORIGIN)
        self.plane = "XYZ"
        self.speed = 0.0
        self.direction: Direction = "off"
        self.message: str | None = None

    def run(self, calls: Sequence[tuple[str, str]]) -> Verdict:
        for at, (name, text) in enumerate(calls):
            following = calls[at + 1][0] if at + 1 < len(calls) else ""
            self.call(name, text, following)
        return self.verdict

    def add(self, step: Step) -> None:
        self.message = None
        self.verdict.steps.append(step)

    def numbers(self, text: str) -> list[float]:
        return [float(part) for part in text.split(",")]

    def length(self, axis: str, value: float) -> float:
        return value if axis in "ABC" else value * self.scale

    def lengths(self, values: Sequence[float]) -> dict[str, float]:
        return {axis: self.length(axis, value) for axis, value in zip(AXES, values, strict=True)}

    def machine(self, axis: str, value: float) -> float:
        return self.length(axis, value) + self.offset[axis] + self.shift[axis]

    def move(self, op: Literal["rapid", "feed", "arc"], to: Mapping[str, float]) -> None:
        moved = tuple(self.names.get(axis, axis) for axis in AXES if to[axis] != self.at[axis])
        self.at = dict(to)
        named = {self.names.get(axis, axis): value for axis, value in to.items()}
        rate = None if op == "rapid" or self.rate is None else self.rate * (self.speed if self.per_turn else 1.0)
        self.add(Move(op, 0, named, rate, moved, "machine"))

    def call(self, name: str, text: str, following: str) -> None:
        match name:
            case "USE_LENGTH_UNITS":
                self.scale = 25.4 if "INCHES" in text else 1.0
            case "SET_FEED_RATE":
                self.rate = float(text) * self.scale
            case "SET_FEED_MODE":
                self.per_turn = self.numbers(text)[1] != 0
            case "SET_G5X_OFFSET":
                self.offset = self.lengths(self.numbers(text)[1:])
            case "SET_G92_OFFSET":
                self.shift = self.lengths(self.numbers(text))
            case "SELECT_PLANE":
                self.plane = _PLANES[text]
            case "STRAIGHT_TRAVERSE" | "STRAIGHT_FEED":
                to = {axis: self.machine(axis, value) for axis, value in zip(AXES, self.numbers(text), strict=True)}
                self.move("rapid" if name == "STRAIGHT_TRAVERSE" else "feed", to)
            case "ARC_FEED":
                self.arc(self.numbers(text))
            case "DWELL":
                self.add(Dwell(0, float(text)))
            case "SET_SPINDLE_SPEED":
                self.speed = self.numbers(text)[1]
                if self.direction != "off" and not following.startswith("START_SPINDLE"):
                    self.add(Spindle(0, self.speed, self.direction))
            case "START_SPINDLE_CLOCKWISE" | "START_SPINDLE_COUNTERCLOCKWISE":
                self.direction = "cw" if name.endswith("_CLOCKWISE") else "ccw"
                self.add(Spindle(0, self.speed, self.direction))
            case "STOP_SPINDLE_TURNING":
                self.direction = "off"
                self.add(Spindle(0, 0.0, "off"))
            case "FLOOD_ON" | "FLOOD_OFF":
                self.add(Coolant(0, name == "FLOOD_ON"))
            case "MIST_ON":
                self.add(Aux(0, "M7"))
            case "SET_AUX_OUTPUT_BIT" | "CLEAR_AUX_OUTPUT_BIT":
                self.add(Aux(0, "", "feeder-on" if name.startswith("SET") else "feeder-off"))
            case "DISABLE_FEED_OVERRIDE":
                self.add(Aux(0, "M49", "override-lock"))
            case "ENABLE_FEED_OVERRIDE":
                self.add(Aux(0, "M48", "override-free"))
            case "MESSAGE":
                self.message = text.strip('"').strip()
            case "PROGRAM_STOP" | "OPTIONAL_PROGRAM_STOP":
                self.add(Stop(0, name.startswith("OPTIONAL")))
            case "PROGRAM_END":
                if self.message is not None:
                    self.add(Refuse(0, self.message))
                self.add(End(0))

    def arc(self, values: list[float]) -> None:
        first, second, third = tuple(self.plane)
        to = dict(self.at)
        to[first], to[second] = self.machine(first, values[0]), self.machine(second, values[1])
        to[third] = self.machine(third, values[5])
        to |= {axis: self.machine(axis, value) for axis, value in zip("ABC", values[6:9], strict=True)}
        centre = (self.machine(first, values[2]), self.machine(second, values[3]))
        self.move("arc", to)
        self.verdict.arcs[len(self.verdict.steps) - 1] = centre
        self.verdict.turns[len(self.verdict.steps) - 1] = round(values[4])
