"""A plan worked out at one state of wheel and stick.

:func:`at` gives the neutral steps that a control must make of it; :func:`resolve`
the plan of that state alone, for a control without variables.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from gen.plan.expression import Condition, Expr, Num, evaluate, holds
from gen.plan.node import (
    Finish,
    Flood,
    Guard,
    Leave,
    Let,
    Modes,
    Node,
    Pause,
    Plan,
    Press,
    Remark,
    State,
    Store,
    Switch,
    Travel,
    Turn,
    Wait,
    Warn,
    When,
)
from gen.plan.step import ROTARY, Aux, Coolant, Dwell, End, Move, Refuse, Spindle, Step, Stop, Write


def at(plan: Plan, state: State) -> list[Step]:
    """The neutral steps of ``plan`` at ``state``. ``KeyError`` if the state lacks a value the plan reads."""
    run = PlanRun(plan, state)
    run.all(plan.nodes)
    return run.steps


class PlanRun:
    """One evaluation: the values, the known positions and the steps so far.

    How an expression and a condition are worked out, and what becomes of a
    statement of modes, may be another's.
    """

    def __init__(self, plan: Plan, state: State) -> None:
        self.plan = plan
        self.unit = float(plan.mm_per_unit)
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
            case Let():
                self.values[node.name] = self.value(node.value)
            case Modes() | Leave():
                self.state_modes(node)
            case Remark():
                pass
            case Turn():
                self.steps.append(Spindle(0, self.value(node.rpm), node.direction))
            case Wait():
                self.steps.append(Dwell(0, float(node.seconds)))
            case Flood():
                self.steps.append(Coolant(0, node.on))
            case Store():
                value = self.value(node.value)
                self.values[node.register] = value
                self.steps.append(Write(0, self.plan.registers[node.register], value))
            case When():
                if self.holds(node.condition):
                    return self.all(node.body)
            case Guard():
                if not self.holds(node.condition):
                    self.steps += [Refuse(0, node.message), End(0)]
                    return False
                return self.all(node.body)
            case Press():
                self.steps += [Aux(0, "", "feeder-on"), Dwell(0, float(node.seconds))]
            case Switch():
                self.steps.append(Aux(0, node.word, node.function))
            case Warn():
                if node.switch:
                    self.steps.append(Aux(0, "", node.meaning))
            case Pause():
                self.steps.append(Stop(0))
            case Finish():
                self.steps.append(End(0))
                return False
        return True

    def value(self, expr: Expr) -> float:
        """What ``expr`` comes to now."""
        return evaluate(expr, self.values)

    def holds(self, condition: Condition) -> bool:
        """Whether ``condition`` is true now."""
        return holds(condition, self.values)

    def state_modes(self, node: Modes | Leave) -> None:
        """Modes make no step of their own."""

    def travel(self, node: Travel) -> None:
        unit = 1.0 if node.axis in ROTARY else self.unit
        target = settled(self.value(node.target)) * unit
        if not node.relative:
            self.positions[node.axis] = target + self.plan.offsets.get(node.axis, 0.0)
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
                frame="incremental" if node.relative else self.plan.frame,
            )
        )


def settled(value: float) -> float:
    """``value`` without the last-digit noise of double arithmetic, which no program can write anyway."""
    return round(value, 9) + 0.0


def resolve(plan: Plan, state: State) -> Plan:
    """The plan of one state, every expression a number; ``plan``, composed without registers, has no guards."""
    return replace(plan, nodes=tuple(_resolved(plan.nodes, dict(state.values))))


def _resolved(nodes: Sequence[Node], values: dict[str, float]) -> Iterator[Node]:
    def number(expr: Expr) -> Num:
        return Num(Decimal(repr(settled(evaluate(expr, values)))))

    for node in nodes:
        match node:
            case Let():
                values[node.name] = evaluate(node.value, values)
            case When():
                if holds(node.condition, values):
                    yield from _resolved(node.body, values)
            case Travel():
                rate = None if node.rate is None else number(node.rate)
                yield replace(node, target=number(node.target), rate=rate)
            case Turn():
                yield replace(node, rpm=number(node.rpm))
            case _:
                yield node
