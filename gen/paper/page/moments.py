"""A reading told moment by moment: after each step, where everything stands and what is switched on.

What a step does not say stays as it was; what nobody has said yet is None.
Lengths mm (rotary axes degrees), rates mm/min, times s.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace

from gen.base.dataclass import dataclass
from gen.paper.duration import time_of
from gen.paper.page.scene import Stand
from gen.plan.step import (
    Aux,
    Coolant,
    Direction,
    Dwell,
    End,
    Move,
    Refuse,
    Register,
    Spindle,
    Step,
    Stop,
    Unclear,
    Write,
)
from gen.shop.machine import Axis


@dataclass(frozen=True, slots=True)
class PageMoment:
    """How things stand after one step at source line ``line`` (0: before the first).

    ``kind`` is ``start``, the ``op`` of the step, or ``halt``. ``rate`` is None for a rapid and where nothing moves.
    ``seconds`` is an estimate of the step's own time.
    """

    kind: str
    line: int
    positions: Mapping[str, float]
    moved: tuple[str, ...] = ()
    rate: float | None = None
    rpm: float | None = None
    direction: Direction | None = None
    coolant: bool | None = None
    locked: bool | None = None
    registers: Mapping[Register, float | None] = field(default_factory=dict)
    written: Register | None = None
    text: str = ""
    stand: Stand = Stand()
    seconds: float = 0.0


def moments(
    steps: Sequence[Step],
    axes: Mapping[str, Axis],
    start: Mapping[str, float],
    registers: Mapping[Register, float | None],
) -> Iterator[PageMoment]:
    """Every moment of a run that began with the axes at ``start`` and the ``registers`` as given."""
    now = PageMoment("start", 0, dict(start), registers=dict(registers))
    yield now
    for step in steps:
        kept = replace(now, kind=step.op, line=step.line, moved=(), rate=None, written=None, text="", seconds=0.0)
        now = _after(kept, step, axes)
        yield now


def _after(now: PageMoment, step: Step, axes: Mapping[str, Axis]) -> PageMoment:
    match step:
        case Move():
            kept = {axis: at for axis, at in now.positions.items() if axis not in step.axes}
            places = {**kept, **step.to}
            seconds = time_of(step, axes, now.positions)
            return replace(now, positions=places, moved=step.axes, rate=step.rate, seconds=seconds)
        case Dwell():
            return replace(now, seconds=step.seconds, text=f"{step.seconds:g} s")
        case Spindle():
            return replace(now, rpm=step.rpm, direction=step.direction)
        case Coolant():
            return replace(now, coolant=step.on)
        case Write():
            values = {**now.registers, step.register: step.value}
            return replace(now, registers=values, written=step.register)
        case Aux(function="override-lock" | "override-free"):
            return replace(now, locked=step.function == "override-lock", text=step.code)
        case Aux():
            return replace(now, text=step.code)
        case Unclear(kind="spindle"):
            return replace(now, rpm=None, direction=None, text=step.kind)
        case Unclear():
            return replace(now, text=f"{step.kind} {step.detail}".strip())
        case Refuse():
            return replace(now, text=step.message)
        case Stop() | End():
            return now
