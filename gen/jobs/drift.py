"""How a program that lies there parts from the one generated now, in the trade's terms.

Both texts are read, by the same reader and at the same states, and what they do
is put into a few named figures; those that differ are the answer, whatever the
two texts look like. What they accept is found by trying.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import printable
from gen.base.lines import lines_of
from gen.base.quantities import Dimension, System, plain, show
from gen.bounds.readback import read_state
from gen.bounds.states import when_due
from gen.control.draft import Program
from gen.control.heading import Heading, read_heading, same_name
from gen.control.origin import cause
from gen.control.seal import blocks
from gen.paper.dressing import Dressing, dressing_of
from gen.plan.node import State
from gen.plan.step import ROTARY, Aux, Coolant, Dwell, Move, Register, Spindle, Step, Write
from gen.reader import Lowered, ReadState, lower, run
from gen.reader.reading import Reading

Figures: TypeAlias = dict[str, str]
"""What a program does at one state: text by name, in an order that goes with importance."""

MOST_LINES = 60
"""Lines of a text difference that are shown."""

FINEST = 0.001
"""mm to which the end of an accepted range is sought; no guard is written finer."""

WRITES, REFUSES = "writes", "refused"
_SAME = "the same motion in other words, as after a change of the templates, of comments or of the version"


@dataclass(frozen=True, slots=True)
class ChangedFigure:
    """One figure of a program: as it lies there, and as it would be generated now. Either may be empty."""

    what: str
    was: str
    now: str

    def __str__(self) -> str:
        if not self.was or not self.now:
            return f"{self.what} {self.was or 'nothing'} → {self.now or 'nothing'}"
        was, now = self.was.split(" "), self.now.split(" ")
        # two plain quantities in one unit need it once
        short = len(was) == len(now) == 2 and was[1] == now[1]
        return f"{self.what} {was[0] if short else self.was} → {self.now}"


@dataclass(frozen=True, slots=True)
class Drift:
    """``by_hand``: the text is not even what was once generated. ``diff`` holds lines of text, the first of many.

    ``cause`` is what it no longer follows from, as part of a sentence, and ``causes`` the same one by one; None where
    it does not say from what it was made.
    """

    by_hand: bool
    differences: tuple[ChangedFigure, ...]
    diff: tuple[str, ...]
    cause: str
    causes: tuple[str, ...] | None

    @property
    def told(self) -> str:
        """What differs, as part of a sentence."""
        return ", ".join(map(str, self.differences)) or _SAME


def drift(name: str, text: str, program: Program) -> Drift:
    """What became different between ``text``, called ``name``, and ``program``, whose text is another one."""
    lines = lines_of(text)
    heading = read_heading(lines) or Heading("", "")
    was, now = heading.origin, program.heading.origin
    return Drift(
        by_hand=any(block.altered for block in blocks(lines)),
        differences=tuple(_differences(text, heading, program)),
        diff=tuple(_diff(name, lines, lines_of(program.text))),
        cause=cause(now, was),
        causes=None if now is None or was is None else now.changed_since(was),
    )


def _diff(name: str, old: list[str], new: list[str]) -> Iterator[str]:
    found = list(difflib.unified_diff(old, new, name, "generated now", n=1, lineterm=""))
    yield from map(printable, found[:MOST_LINES])
    if len(found) > MOST_LINES:
        yield f"... and {len(found) - MOST_LINES} lines more"


# -- figure by figure


def _differences(text: str, heading: Heading, program: Program) -> Iterator[ChangedFigure]:
    yield from _claims(heading, program)
    control = program.dialect.control
    was, now = lower(text, control), lower(program.text, control)
    known = _Registers.of(now, program)
    theirs = known.found_in(was, program)
    if known.numbers != theirs.numbers:
        yield ChangedFigure("registers", _listed(theirs.numbers), _listed(known.numbers))
    told: set[str] = set()
    for where, state in _states(program):
        old = _figures(theirs.run(was, program, state), program, state)
        new = _figures(known.run(now, program, state), program, state)
        if REFUSES in (*old, *new):
            if old != new:
                yield ChangedFigure(
                    f"wheel and stick as {where.removeprefix(' with ') or 'new'}", *map(_taken, (old, new))
                )
            continue
        for what in dict.fromkeys([*new, *old]):
            if what == WRITES and known.numbers != theirs.numbers:
                continue
            if what not in told and old.get(what) != new.get(what):
                told.add(what)
                yield ChangedFigure(f"{what}{where}", old.get(what, ""), new.get(what, ""))
    if program.by_registers:
        for name in (*program.dress.sizes, "stick_length"):
            ranges = [_accepted(code, names, program, name) for code, names in ((was, theirs), (now, known))]
            if ranges[0] != ranges[1] and all(ranges):
                yield ChangedFigure(f"accepted {name.replace('_', ' ')}", *ranges)


def _claims(was: Heading, program: Program) -> Iterator[ChangedFigure]:
    """What the heading said of itself: which machine and recipe, and for which wheel and stick."""
    now = program.heading
    claimed = (
        ("machine", was.machine, now.machine),
        ("recipe", was.recipe, now.recipe),
        ("form", was.edition.form, now.edition.form),
    )
    for what, old, new in claimed:
        if old and not same_name(old, new):
            yield ChangedFigure(what, old, new)
    for name in dict.fromkeys([*now.state, *was.state]):
        old, new = (
            show(one.state[name], "length", program.dress.machine.units) if name in one.state else ""
            for one in (was, now)
        )
        if old != new:
            yield ChangedFigure(name.replace("_", " "), old or "read from a register", new or "read from a register")


def _states(program: Program) -> Iterator[tuple[str, State]]:
    """The state of the program, and for one that reads registers the worn wheel too, with what to call it."""
    worn = program.dress.state(sizes=[size for size, _ in program.dress.sizes.values()])
    states = when_due(program, (program.state, worn) if program.by_registers else (program.state,))
    yield from zip(("", " with a worn wheel"), states, strict=False)


def _listed(numbers: Mapping[str, Register]) -> str:
    return ", ".join(str(number) for number in numbers.values())


@dataclass(frozen=True)
class _Registers:
    """The registers that a text reads, by what they hold."""

    numbers: Mapping[str, Register]

    @classmethod
    def of(cls, code: Lowered, program: Program) -> _Registers:
        """Those of ``program`` itself, in the order in which its text asks for them."""
        names = {number: name for name, number in program.plan.registers.items()}
        reading = run(code, read_state(program, program.state))
        return cls({names[number]: number for number in _reads(reading) if number in names})

    def found_in(self, code: Lowered, program: Program) -> _Registers:
        """Those of an older text, which asks for the same values in the same order, perhaps under other numbers."""
        reading = self.run(code, program, program.state)
        found = self
        for _ in self.numbers:
            if reading.end != "refused":
                break
            asked = _reads(reading)[: len(self.numbers)]
            found = _Registers(dict(zip(self.numbers, asked, strict=False)))
            reading = found.run(code, program, program.state)
        return found if reading.end != "refused" else self

    def run(self, code: Lowered, program: Program, state: State) -> Reading:
        known = read_state(program, state)
        here = {number: state.values[name] for name, number in self.numbers.items() if name in state.values}
        registers = {**known.registers, **here}
        return run(code, ReadState(registers, known.positions, known.offsets), registers=set(registers))


def _reads(reading: Reading) -> list[Register]:
    return list(dict.fromkeys(read.register for read in reading.reads))


def _accepted(code: Lowered, names: _Registers, program: Program, name: str) -> str:
    """The values of register ``name`` with which the text runs, all else being new; empty if it never does."""
    if name not in names.numbers:
        return ""
    unit = float(program.dress.register_unit)
    good = (state for _, state in _states(program) if names.run(code, program, state).end != "refused")
    state = next(good, None)
    if state is None:
        return ""

    def runs(value: float) -> bool:
        values = {**state.values, name: value / unit}
        return names.run(code, program, replace(state, values=values)).end != "refused"

    here = state.values[name] * unit
    low, high = _edge(runs, here, 0.0), _edge(runs, here, 10 * here)
    units = program.dress.machine.units
    return f"{show(low, 'length', units)} to {show(high, 'length', units)}"


def _edge(runs: Callable[[float], bool], inside: float, outside: float) -> float:
    """Where between a value that ``runs`` and one that does not the change lies, mm."""
    if runs(outside):
        return outside
    while abs(outside - inside) > FINEST / 4:
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if runs(middle) else (inside, middle)
    return round(inside / FINEST) * FINEST


# -- the figures of one reading


def _taken(figures: Figures) -> str:
    return REFUSES if REFUSES in figures else "accepted"


def _figures(reading: Reading, program: Program, state: State) -> Figures:
    if reading.end == "refused":
        return {REFUSES: REFUSES}
    # where stick and wheel meet, with both as recipe and machine now have them
    here = dressing_of(program.dress, state, reading.steps)
    figures = _in_contact(here) | _around(reading.steps, program, {one.enters for one in here.contacts.plunges})
    left = (
        table.get(reading.modes[group][0])
        for group, table in program.dialect.control.groups.items()
        if group in reading.modes and reading.modes[group][1] is not None
    )
    return figures | {"modes left": " ".join(filter(None, left))}


def _in_contact(here: Dressing) -> Figures:
    """Speed, feed and depth of each wheel's first plunge."""
    units = here.dress.machine.units
    figures: Figures = {}
    for one in here.wheels:
        for first in one.contacts.plunges[:1]:
            lead = f"wheel {one.wheel.number} " if one.wheel.number else ""
            figures[f"{lead}feed"] = show(one.feed, "feed", units) if one.feed else "rapid"
            if one.feed and one.rpm:
                figures[f"{lead}aggressiveness"] = plain(one.aggressiveness[0], 0)
            figures[f"{lead}spindle speed"] = show(one.rpm, "rotation")
            figures[f"{lead}wheel speed"] = show(one.speeds[0], "peripheral", units)
            figures[f"{lead}plunge"] = show(first.depth, "length", units)
            figures[f"{lead}end of the plunge"] = show(first.reached, "length", units)
    return figures | {"plunges": str(len(here.contacts.plunges))}


def _around(steps: Sequence[Step], program: Program, plunging: set[int]) -> Figures:
    """Where the axes go, how long it waits, what it switches and writes; ``plunging`` are the steps told already."""
    units, axis = program.dress.machine.units, program.dress.machine.dresser.axis
    figures: Figures = {}
    moves = [step for step in steps if isinstance(step, Move)]
    for letter in dict.fromkeys(letter for move in moves for letter in move.axes):
        rapid = [move for move in moves if letter in move.axes and move.op == "rapid"]
        kinds = {f"{letter} rapids to": rapid} if letter == axis else {f"{letter} at": moves}
        for what, among in kinds.items():
            places = [move.to[letter] for move in among if letter in move.axes and letter in move.to]
            figures[what] = _places(places, letter, units)
    speeds = [step for step in steps if isinstance(step, Spindle)]
    coming = [step for index, step in enumerate(steps) if isinstance(step, Move) and index not in plunging]
    rates = dict.fromkeys(move.rate for move in coming if move.op == "feed" and move.rate is not None)
    written = [step for step in steps if isinstance(step, Write)]
    return figures | {
        "feed up to the wheel": " then ".join(show(rate, "feed", units) for rate in rates),
        "spindle": " then ".join(step.direction for step in speeds),
        "waits": " then ".join(show(step.seconds, "time") for step in steps if isinstance(step, Dwell)),
        "coolant": " then ".join("on" if step.on else "off" for step in steps if isinstance(step, Coolant)),
        WRITES: ", ".join(f"{step.register} = {plain(step.value, 4, strip=True)}" for step in written),
        "other words": " ".join(step.function or step.code for step in steps if isinstance(step, Aux)),
    }


def _places(places: list[float], letter: str, units: System) -> str:
    dimension: Dimension = "angle" if letter in ROTARY else "length"
    return ", ".join(dict.fromkeys(show(place, dimension, units) for place in places))
