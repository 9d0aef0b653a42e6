"""Puts a drafted program before the outside judge, and its plan beside what the judge saw.

The judge knows the linear axes X Y Z and the rotary ones A B C, and its machine
counts in inches; so letters are mapped, a slide that already stands somewhere is
moved there first, and a dresser's own offset goes into its parameters.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from gen.control.draft import Program
from gen.plan.differences import differences
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import ROTARY, Coolant, End, Move, Spindle, Step, Write
from judge import AXES, ORIGIN, TOLERANCE, Verdict, comparable, judge

INCH = 25.4
G57 = 5281
"""The judge's first parameter of the offset G57 (RS274/NGC parameter table, NIST IR 6556, from memory)."""


def near(program: Program) -> float:
    """How closely the judge prints, for the sum of a coordinate and an offset, mm."""
    return 2 * TOLERANCE / (1 if program.dress.machine.units == "inch" else INCH)


def letters(axes: Iterable[str]) -> dict[str, str]:
    """The judge's letter for each axis it lacks: a free one that moves straight."""
    named = list(axes)
    free = [axis for axis in "XYZ" if axis not in named]
    return dict(zip([axis for axis in named if axis not in AXES], free, strict=False))


def hosted(program: Program) -> str:
    """The program as a text of its own: a block with an end, a subprogram with a call."""
    number = program.dress.recipe.program
    ending = {"program": "", "block": "M2\n", "subprogram": f"O{number} call\nM2\n"}[program.edition.form]
    return program.text + ending


def as_rs274(text: str) -> str:
    """A text in plain address words as the judge takes it: no program number, and its word for a dwell."""
    text = re.sub(r"^O\d+\s*(\(.*\))?$", "", text, flags=re.MULTILINE)
    return re.sub(r"\bG4 X", "G4 P", text)


def ruling(program: Program, state: State, text: str | None = None) -> Verdict:
    """What the judge makes of ``program`` (or of ``text`` in its place) at ``state``."""
    text = hosted(program) if text is None else text
    offset = program.dress.machine.dresser.offset
    names = letters(program.dress.machine.axes)
    numbers: dict[int, float] = {}
    if offset is not None:
        for axis, value in offset.values.items():
            place = AXES.index(names.get(axis, axis))
            numbers[G57 + place] = float(value) / (1 if axis in ROTARY else INCH)
    table = program.plan.registers
    numbers |= {int(table[name]): value for name, value in state.values.items() if name in table}
    start = "".join(f"G21 G53 G0 {axis}{value:.4f}\n" for axis, value in state.positions.items())
    text = re.sub(r"\A(%\n)?", lambda mark: f"{mark[0]}{start}", text)
    verdict = judge(text, registers=numbers, saved=[int(number) for number in table.values()], letters=names)
    del verdict.steps[: len(state.positions)]
    return verdict


def planned(program: Program, state: State) -> list[Step]:
    """The plan at ``state``, with the end that :func:`hosted` adds."""
    steps = at(program.plan, state)
    return steps if isinstance(steps[-1], End) else [*steps, End(0)]


def disagreements(program: Program, state: State, verdict: Verdict) -> list[str]:
    """Where plan and judge part: steps, registers written back, axes that moved unasked, errors."""
    ours = planned(program, state)
    visible = comparable(ours)
    theirs = [_known(step, other) for step, other in zip(verdict.steps, visible, strict=False)]
    theirs += verdict.steps[len(visible) :]
    found = differences(visible, theirs, tolerance=near(program))
    found += _moved_unasked(verdict.steps, visible, near(program))
    found += _written(program, state, ours, verdict.parameters)
    return [*found, verdict.error] if verdict.error else found


def _known(theirs: Step, ours: Step) -> Step:
    """The judge's move with the axes whose position the plan knows; the judge knows all of its own."""
    if isinstance(theirs, Move) and isinstance(ours, Move):
        return theirs._replace(to={axis: theirs.to[axis] for axis in ours.to if axis in theirs.to})
    return theirs


def _moved_unasked(theirs: Iterable[Step], ours: Iterable[Step], tolerance: float) -> list[str]:
    return [
        f"the judge moves {axis} to {value}, which the plan never touched"
        for step, other in zip(theirs, ours, strict=False)
        if isinstance(step, Move) and isinstance(other, Move)
        for axis, value in step.to.items()
        if axis not in other.to and abs(value - ORIGIN.get(axis, 0.0)) > tolerance
    ]


def _written(program: Program, state: State, ours: Iterable[Step], theirs: Mapping[int, float]) -> list[str]:
    """Where a register of the machine does not hold afterwards what the plan says (the judge writes six decimals)."""
    table = program.plan.registers
    expected = {int(number): state.values.get(name, 0.0) for name, number in table.items()}
    expected |= {int(step.register): step.value for step in ours if isinstance(step, Write)}
    return [
        f"register {number} holds {theirs.get(number)} afterwards, the plan says {value}"
        for number, value in expected.items()
        if abs(theirs.get(number, float("nan")) - value) > 1e-6 or number not in theirs
    ]


def acting(steps: Iterable[Step]) -> list[Step]:
    """Those of ``steps`` that move something or switch something on."""
    return [
        step
        for step in steps
        if isinstance(step, Move)
        or (isinstance(step, Spindle) and step.direction != "off")
        or (isinstance(step, Coolant) and step.on)
    ]
