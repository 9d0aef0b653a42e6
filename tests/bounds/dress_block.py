"""A dress block written down step by step, without any program text, and a reading made of it.

The shop is invented. Positions are worked out by hand: datum 260 mm, stick
150 mm, wheel 125 mm, so contact at 260 - (150 + 62.5) = 47.5 mm.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from gen.base.finding import Finding
from gen.bounds import judge
from gen.bounds.case import Case, Expected
from gen.control.folders import load_control
from gen.dressers.task import Abilities
from gen.plan.node import State
from gen.plan.step import Aux, Coolant, Dwell, ModeChange, Move, RegisterRead, Spindle, Step, Write
from gen.reader.reading import Ending, Reading
from gen.reader.window import ON_RECORD, Snapshot, Window
from gen.shop.dress import Dress
from slide_bench import dress_of
from told_backwards import in_force

HOST = {"units": "mm", "distance": "absolute"}


@dataclass(frozen=True)
class Mode:
    group: str
    value: str


@dataclass(frozen=True)
class Read:
    register: int


@dataclass(frozen=True)
class Go:
    """A move of ``axis`` to ``target``, at ``rate`` or as a rapid; ``also`` other axes in the same line."""

    axis: str
    target: float
    rate: float | None = None
    frame: str = "machine"
    also: Mapping[str, float] | None = None
    op: Literal["rapid", "feed", "arc"] | None = None


MODES = (Mode("units", "mm"), Mode("distance", "absolute"), Mode("feed_mode", "per-minute"), Mode("plane", "xy"))

Item = Mode | Read | Go | Step
Lines = dict[str, list[Item]]
"""The items of each line, by the name of the line, in the order of the program."""


def good() -> Lines:
    """One dress of a new wheel with a new stick, as it should be."""
    return {
        "modes": list(MODES),
        "cancel": [Mode("compensation", "off")],
        "park": [Go("U", 0)],
        "wait to read": [Aux(0, "W", "synchronise")],
        "flag?": [Read(504)],
        "wheel low?": [Read(501)],
        "wheel high?": [Read(501)],
        "stick low?": [Read(502)],
        "stick high?": [Read(502)],
        "use wheel": [Read(501)],
        "use stick": [Read(502)],
        "at": [Go("X", 180)],
        "lateral": [Go("Z", 42.5)],
        "spindle": [Spindle(0, 3056, "cw")],
        "spin up": [Dwell(0, 3)],
        "coolant": [Coolant(0, True)],
        "coolant wait": [Dwell(0, 2)],
        "set flag": [Write(0, 504, 1)],
        "lock": [Aux(0, "L", "override-lock")],
        "envelope": [Go("U", 43.5)],
        "approach": [Go("U", 43.5, 350)],
        "plunge": [Go("U", 55.5, 300.02)],
        "retract": [Go("U", 0)],
        "wait to write": [Aux(0, "W", "synchronise")],
        "write stick": [Write(0, 502, 142)],
        "free": [Aux(0, "F", "override-free")],
        "wait to count": [Aux(0, "W", "synchronise")],
        "count": [Write(0, 503, 0)],
        "clear flag": [Write(0, 504, 0)],
        "coolant off": [Coolant(0, False)],
        "spindle off": [Spindle(0, 0, "off")],
        "leave": [Mode("units", "mm"), Mode("distance", "absolute")],
    }


def put(lines: Lines, name: str, items: list[Item], *, before: str) -> Lines:
    """``lines`` with a new line ``name`` before another one."""
    found: Lines = {}
    for key, value in lines.items():
        if key == before:
            found[name] = items
        found[key] = value
    return found


def line_of(lines: Lines, name: str) -> int:
    """The number of the line ``name``; numbering starts at 11, so that no line is also a step number."""
    return list(lines).index(name) + 11


def reading_of(lines: Lines, positions: Mapping[str, float] | None = None, end: Ending = "text") -> Reading:
    reading = Reading(end=end)
    place = dict(positions or {})
    for number, items in enumerate(lines.values(), 11):
        for item in items:
            step = len(reading.steps)
            match item:
                case Mode():
                    reading.changes.append(ModeChange(step, number, item.group, item.value))
                case Read():
                    reading.reads.append(RegisterRead(step, number, item.register))
                case Go():
                    reading.steps.append(_move(reading, number, item, place))
                case Spindle():
                    told = {"speed": f"{item.rpm:g}"} if item.rpm else {}
                    for group, value in {**told, "spindle": item.direction}.items():
                        reading.changes.append(ModeChange(step, number, group, value))
                    reading.steps.append(item._replace(line=number))
                case _:
                    reading.steps.append(item._replace(line=number))
    known, control = dict(positions or {}), load_control("iso6983")
    begun = in_force(reading, 0, control, known, lambda line: False)
    left = in_force(reading, len(reading.steps), control, known)
    counts = {name: len(getattr(reading, name)) for name in ON_RECORD}
    reading.windows.append(Window(Snapshot(dict.fromkeys(counts, 0), begun), Snapshot(counts, left)))
    return reading


def stay(reading: Reading, *runs: range) -> None:
    """Says that the steps of the block are those of ``runs``, one for each time that it is reached."""
    (window,) = reading.windows
    reading.windows = [
        Window(
            *(
                replace(moment, counts={**moment.counts, "steps": step})
                for moment, step in ((window.entry, run.start), (window.leaving, run.stop))
            )
        )
        for run in runs
    ]


def _move(reading: Reading, line: int, go: Go, place: dict[str, float]) -> Move:
    step = len(reading.steps)
    words = {go.axis: go.target, **(go.also or {})}
    for axis, value in words.items():
        if go.frame != "incremental":
            place[axis] = value
        elif axis in place:
            place[axis] += value
    op = go.op or ("rapid" if go.rate is None else "feed")
    reading.changes.append(ModeChange(step, line, "motion", op))
    if go.rate is not None:
        reading.changes.append(ModeChange(step, line, "feed", str(go.rate)))
    return Move(op, line, dict(place), go.rate, tuple(words), go.frame)


def case_of(lines: Lines, dress: Dress | None = None, state: State | None = None, **fields: Any) -> Case:
    dress = dress or dress_of()
    state = state or dress.state()
    case = Case(
        reading=reading_of(lines, state.positions),
        first=11,
        last=10 + len(lines),
        dress=dress,
        state=state,
        expected=Expected(leaves=HOST),
        words=Abilities((("compensation", "off"),), override_lock=True, synchronise=True),
    )
    parts = {name: getattr(case, name) for name in ("expected", "words")}
    own = {
        name: replace(part, **{key: fields.pop(key) for key in list(fields) if hasattr(part, key)})
        for name, part in parts.items()
    }
    return replace(case, **own, **fields)


def found(case: Case) -> list[tuple[str, int | None]]:
    return [(finding.rule, finding.line) for finding in judge([case]).findings]


def the(case: Case, rule: str) -> Finding:
    """The one finding of ``rule``."""
    (finding,) = [finding for finding in judge([case]).findings if finding.rule == rule]
    return finding


Edit = Callable[[Lines], Lines]
