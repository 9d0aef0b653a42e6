"""The plan: what one dress does, as a tree, before any control's words.

Values are numbers or small expressions over the state of wheel and stick, in
the program's own length unit. :func:`at` works a plan out at one state and
gives the neutral steps a control must make of it; :func:`resolve` gives the
plan of one state, for a control without variables.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import TypeAlias

from gen.expr import Condition, Expr, Num, evaluate, holds, names
from gen.steps import (
    ROTARY,
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
    Write,
)


@dataclass(frozen=True, slots=True)
class Modes:
    """Modes stated by group and meaning, in the order written."""

    stated: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Leave:
    """The modes the block leaves, in the host's own words."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remark:
    """A line for the person who reads the program."""

    text: str


@dataclass(frozen=True, slots=True)
class Travel:
    """One axis moves: a rapid (``rate`` None) or a feed; ``relative`` to where it stands."""

    axis: str
    target: Expr
    rate: Expr | None = None
    relative: bool = False


@dataclass(frozen=True, slots=True)
class Turn:
    """The spindle turns at ``rpm``, or stops."""

    rpm: Expr
    direction: Direction


@dataclass(frozen=True, slots=True)
class Wait:
    """A dwell of ``seconds``, and what is waited for."""

    seconds: Decimal
    purpose: str


@dataclass(frozen=True, slots=True)
class Flood:
    on: bool


@dataclass(frozen=True, slots=True)
class Override:
    """Feed and speed overrides locked at 100 %, or free."""

    locked: bool


@dataclass(frozen=True, slots=True)
class Synchronise:
    """All motion before ends here, before any register after is read or written."""


@dataclass(frozen=True, slots=True)
class Let:
    """A working variable given a value."""

    name: str
    value: Expr
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Store:
    """A register, by its name in the machine file, given a value that outlives the program."""

    register: str
    value: Expr


@dataclass(frozen=True, slots=True)
class When:
    """``body`` only if ``condition`` holds. ``label`` is unique in the plan."""

    condition: Condition
    label: int
    body: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Guard:
    """``body`` is reached only if ``condition`` holds; else ``message`` is shown and the program is over."""

    condition: Condition
    message: str
    label: int
    body: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Press:
    """A timed feeder let out for ``seconds``, in one line of the program if ``one_line``."""

    seconds: Decimal
    one_line: bool


@dataclass(frozen=True, slots=True)
class Release:
    """A timed feeder switched off, so that it comes back."""


@dataclass(frozen=True, slots=True)
class AwaitRetracted:
    """The program waits here for the signal that a timed feeder has come back."""


@dataclass(frozen=True, slots=True)
class Switch:
    """A word of the grinding program's own that switches something again, such as its mist."""

    word: str


@dataclass(frozen=True, slots=True)
class Pause:
    """A stop that cycle start passes, and what to look at meanwhile."""

    look_at: str


@dataclass(frozen=True, slots=True)
class Finish:
    """The program's end, as a step of its own."""


Node: TypeAlias = (
    Modes
    | Leave
    | Remark
    | Travel
    | Turn
    | Wait
    | Flood
    | Override
    | Synchronise
    | Let
    | Store
    | When
    | Guard
    | Press
    | Release
    | AwaitRetracted
    | Switch
    | Pause
    | Finish
)


@dataclass(frozen=True, slots=True)
class Plan:
    """A tree of nodes, the length unit its numbers are in, and the registers it knows by name.

    Targets are machine positions, or, with ``frame`` the word of a work offset
    kept for the dresser, positions in that offset, whose ``offsets`` (mm) are
    added to reach the machine's.
    """

    nodes: tuple[Node, ...]
    mm_per_unit: Decimal = Decimal(1)
    registers: Mapping[str, Register] = field(default_factory=dict)
    offsets: Mapping[str, float] = field(default_factory=dict)
    frame: str = "machine"


@dataclass(frozen=True, slots=True)
class State:
    """Wheel, stick and counters at one moment.

    ``values`` holds ``wheel_diameter`` or ``wheel_gauge``, ``stick_length``,
    ``in_progress``, … as the registers hold them (a length in the registers'
    unit; without registers, in the program's); ``positions`` the machine coordinates (mm) of axes known
    beforehand, such as an incremental slide's.
    """

    values: Mapping[str, float]
    positions: Mapping[str, float] = field(default_factory=dict)


class Refused(Exception):
    """A guard of the plan does not hold at this state; the message is the guard's."""


def at(plan: Plan, state: State) -> list[Step]:
    """The neutral steps of ``plan`` at ``state``. ``KeyError`` if the state lacks a value the plan reads."""
    run = _Run(plan, state)
    run.all(plan.nodes)
    return run.steps


class _Run:
    """One evaluation: the values, the known positions and the steps so far."""

    def __init__(self, plan: Plan, state: State) -> None:
        self.unit = float(plan.mm_per_unit)
        self.registers = plan.registers
        self.offsets = plan.offsets
        self.frame = plan.frame
        self.values = dict(state.values)
        self.positions = dict(state.positions)
        self.steps: list[Step] = []

    def all(self, nodes: Sequence[Node]) -> bool:
        """Do every node; False once the program is over."""
        return all(map(self.one, nodes))

    def one(self, node: Node) -> bool:
        match node:
            case Travel():
                self.travel(node)
            case Modes() | Leave() | Remark():
                pass
            case Turn():
                self.steps.append(Spindle(0, self.value(node.rpm), node.direction))
            case Wait():
                self.steps.append(Dwell(0, float(node.seconds)))
            case Flood():
                self.steps.append(Coolant(0, node.on))
            case Override():
                self.steps.append(Aux(0, "", "override-lock" if node.locked else "override-free"))
            case Synchronise():
                self.steps.append(Aux(0, "", "synchronise"))
            case Let():
                self.values[node.name] = self.value(node.value)
            case Store():
                value = self.value(node.value)
                self.values[node.register] = value
                self.steps.append(Write(0, self.registers[node.register], value))
            case When():
                if holds(node.condition, self.values):
                    return self.all(node.body)
            case Guard():
                if not holds(node.condition, self.values):
                    self.steps += [Refuse(0, node.message), End(0)]
                    return False
                return self.all(node.body)
            case Press():
                self.steps += [Aux(0, "", "feeder-on"), Dwell(0, float(node.seconds))]
            case Release():
                self.steps.append(Aux(0, "", "feeder-off"))
            case AwaitRetracted():
                self.steps.append(Aux(0, "", "feeder-retracted"))
            case Switch():
                self.steps.append(Aux(0, node.word))
            case Pause():
                self.steps.append(Stop(0))
            case Finish():
                self.steps.append(End(0))
                return False
        return True

    def value(self, expr: Expr) -> float:
        return evaluate(expr, self.values)

    def travel(self, node: Travel) -> None:
        unit = 1.0 if node.axis in ROTARY else self.unit
        target = settled(self.value(node.target)) * unit
        if not node.relative:
            self.positions[node.axis] = target + self.offsets.get(node.axis, 0.0)
        elif node.axis in self.positions:
            self.positions[node.axis] += target
        rate = None if node.rate is None else settled(self.value(node.rate)) * self.unit
        self.steps.append(
            Move(
                op="rapid" if rate is None else "feed",
                line=0,
                to=dict(self.positions),
                rate=rate,
                axes=(node.axis,),
                frame="incremental" if node.relative else self.frame,
            )
        )


def settled(value: float) -> float:
    """``value`` without the last-digit noise of double arithmetic, which no program can write anyway."""
    return round(value, 9) + 0.0


def resolve(plan: Plan, state: State) -> Plan:
    """The plan of one state: every expression a number, nothing read, nothing kept.

    Raises :class:`Refused` where a guard does not hold.
    """
    return replace(plan, nodes=tuple(_resolved(plan.nodes, dict(state.values))), registers={})


def _resolved(nodes: Sequence[Node], values: dict[str, float]) -> Iterator[Node]:
    def number(expr: Expr) -> Num:
        return Num(Decimal(repr(settled(evaluate(expr, values)))))

    for node in nodes:
        match node:
            case Let():
                values[node.name] = evaluate(node.value, values)
            case Store():
                values[node.register] = evaluate(node.value, values)
            case Synchronise():
                pass
            case When():
                if holds(node.condition, values):
                    yield from _resolved(node.body, values)
            case Guard():
                if not holds(node.condition, values):
                    raise Refused(node.message)
                yield from _resolved(node.body, values)
            case Travel():
                rate = None if node.rate is None else number(node.rate)
                yield replace(node, target=number(node.target), rate=rate)
            case Turn():
                yield replace(node, rpm=number(node.rpm))
            case _:
                yield node


def walk(nodes: Sequence[Node]) -> Iterator[Node]:
    """Every node of a tree, in the order written."""
    for node in nodes:
        yield node
        if isinstance(node, (When, Guard)):
            yield from walk(node.body)


def reads(plan: Plan) -> set[str]:
    """The names of the registers that ``plan`` reads."""
    return {
        name
        for node in walk(plan.nodes)
        for expr in _expressions(node)
        for name in names(expr)
        if name in plan.registers
    }


def _expressions(node: Node) -> tuple[Expr, ...]:
    match node:
        case Travel():
            return (node.target,) if node.rate is None else (node.target, node.rate)
        case Turn():
            return (node.rpm,)
        case Let() | Store():
            return (node.value,)
        case When() | Guard():
            return node.condition.left, node.condition.right
    return ()
