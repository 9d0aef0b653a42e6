"""What a changed program does, tried without the reading over all states: is it what the unchanged one does?

For RS274/NGC the interpreter ``rs274`` runs both, with registers from a file; for
the controls that nobody else reads, both are run with numbers in their registers,
past their stops and with each block-delete switch on and off.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import NamedTuple

import judge
from gen.control.draft import Program
from gen.plan.differences import differences
from gen.plan.step import End, Refuse, Register, Step
from gen.reader import Lowered, Reading, ReadState, lower, run
from gen.reader.reading import Budget

from .bench import Lines

_SAVED = (501, 502, 503, 504, 505)
_STATES, _JUDGED = 24, 8
_NEAR = 1e-6


def parts(program: Program, lines: Lines) -> str:
    """Where a program of ``lines`` does something else than ``program``, at one of many random states; else empty."""
    text = "\n".join([*lines, ""])
    return _judged(program, text) if program.dialect.control.judge else _run(program, text)


def _states(program: Program, count: int) -> Iterator[dict[Register, float | None]]:
    """Registers within the limits, at them, beside them, and empty; a dress under way; any count of parts."""
    drawn = random.Random(1)
    low, high = (float(end) for end in next(iter(program.dress.sizes.values())))
    short, long = (float(end) for end in program.dress.length_range)
    for number in range(count):
        sizes = [low, high, low - 0.01, high + 0.01, 0.0, drawn.uniform(low - 20, high + 20)]
        lengths = [short, long, short - 0.01, long + 0.01, 0.0, drawn.uniform(0, long + 40)]
        inside = number % 2 == 0
        state: dict[Register, float | None] = {
            501: drawn.uniform(low, high) if inside else drawn.choice(sizes),
            502: drawn.uniform(short, long) if inside else drawn.choice(lengths),
            503: drawn.choice([0, 1, 5, 6, 7, 77, drawn.uniform(0, 12)]),
            504: 0.0 if inside or drawn.random() < 0.7 else drawn.choice([1.0, -1.0, 2.0, 0.5]),
            505: drawn.choice([1, 2, 3, 4]) if inside else drawn.choice([0, 1, 1.5, 2.5, 4, 5, 9, -1]),
            100: drawn.uniform(-5, 5),
        }
        state |= {register: drawn.uniform(0, 200) for register in range(590, 600)}
        if not inside and drawn.random() < 0.3:
            state[drawn.choice(_SAVED)] = None
        yield state


class _Known(NamedTuple):
    """What the unchanged program does from ``start``, once it was told which block-delete switches there are."""

    start: ReadState
    past_stops: bool
    reading: Reading


@cache
def _unchanged(text: str, program: Callable[[], Program]) -> list[_Known]:
    lowered = lower(text, program().dialect.control)
    return [
        _Known(start, past, _reading(lowered, start, past))
        for state in _states(program(), _STATES)
        for start in [ReadState(registers=state)]
        for past in (False, True)
    ]


def _run(program: Program, text: str) -> str:
    lowered = lower(text, program.dialect.control)
    switches = lowered.delete_switches
    for known in _unchanged(program.text, _Same(program)):
        for on in [frozenset[int](), *([switches] if switches else [])]:
            one = known.reading
            other = _reading(lowered, replace(known.start, block_delete=on), known.past_stops)
            told = differences(_worded(one.steps), _worded(other.steps), tolerance=_NEAR)
            left_otherwise = not known.past_stops and _left(one) != _left(other)
            if told or one.end != other.end or left_otherwise or len(one.unread) != len(other.unread):
                return f"{known.start.registers}: {told[:1]} {one.end} {other.end} {other.unread[:1]}"
    return ""


def _worded(steps: Sequence[Step]) -> list[Step]:
    """A message in small letters or with other blanks says the same; an end behind an end does nothing."""
    return [
        step._replace(message=" ".join(step.message.upper().split())) if isinstance(step, Refuse) else step
        for before, step in pairwise([None, *steps])
        if step is not None and not (isinstance(before, End) and isinstance(step, End))
    ]


def _reading(lowered: Lowered, start: ReadState, past_stops: bool) -> Reading:
    """Writes of working variables are no steps."""
    registers = set(range(1, 590))
    return run(lowered, start, registers=registers, past_stops=past_stops, budget=Budget(steps=2000, jumps=200))


def _left(reading: Reading) -> dict[str, str]:
    """The modes in force at the end. A dress leaves its own feed, so that whatever comes then says one anyway."""
    return {group: value for group, (value, _) in reading.modes.items() if group != "feed"}


class _Same:
    """A program to look up by, told from others by its text."""

    def __init__(self, program: Program) -> None:
        self._program = program

    def __call__(self) -> Program:
        return self._program

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self._program.text == other._program.text

    def __hash__(self) -> int:
        return hash(self._program.text)


def _judged(program: Program, text: str) -> str:
    for state in _states(program, _JUDGED):
        registers = {number: value or 0.0 for number, value in state.items() if isinstance(number, int)}
        one, other = _verdict(program.text, tuple(registers.items())), judge_of(text, registers)
        if other.error and not other.steps:
            continue  # it stops before anything is done
        told = differences(judge.comparable(one.steps), judge.comparable(other.steps), tolerance=judge.TOLERANCE)
        if told or one.error != other.error:
            return f"{registers}: {told[:1]} {other.error}"
        kept = [number for number in _SAVED if abs(one.parameters[number] - other.parameters[number]) > _NEAR]
        if kept:
            return f"{registers}: register {kept[0]} is {other.parameters[kept[0]]}"
    return ""


@cache
def _verdict(text: str, registers: tuple[tuple[int, float], ...]) -> judge.Verdict:
    return judge_of(text, dict(registers))


def judge_of(text: str, registers: Mapping[int, float]) -> judge.Verdict:
    return judge.judge(text, registers=registers, saved=_SAVED, letters={"U": "Y"})
