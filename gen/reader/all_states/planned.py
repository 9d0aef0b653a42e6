"""A plan worked out on one path, with formulas for the registers it reads."""

from __future__ import annotations

from gen.control.model import Control
from gen.plan.evaluate import PlanRun
from gen.plan.expression import Condition, Expr, Num, Operation, Rounded, Var
from gen.plan.node import Leave, Modes, Plan, State
from gen.plan.step import ModeChange, RegisterRead
from gen.reader.all_states.formulas import NotFollowed
from gen.reader.all_states.paths import Path
from gen.reader.operators import Value, function, operator
from gen.reader.reading import ReadState
from gen.reader.unknown import Unknown


class Planned(PlanRun):
    """The ``steps`` of ``plan`` on ``path``, the modes it states and the registers it reads on the way.

    Conditions mean what the control's own comparison means, for empty registers too; ``asked`` are those that were met.
    """

    def __init__(self, plan: Plan, path: Path, control: Control, state: ReadState) -> None:
        super().__init__(plan, State({}, state.positions))
        self._path = path
        self._within = float(control.variables.equal_within) if control.variables is not None else 0.0
        self._can_be_empty = control.variables is not None and control.variables.unset == "empty"
        self._control = control
        self.changes: list[ModeChange] = []
        self.reads: list[RegisterRead] = []
        self.asked: list[Condition] = []
        self.all(plan.nodes)

    def value(self, expr: Expr) -> float:
        value = self._value(expr)
        if isinstance(value, Unknown):
            raise NotFollowed(f"the plan reads {value.what}, which the control sets itself")
        return 0.0 if value is None else value

    def holds(self, condition: Condition) -> bool:
        self.asked.append(condition)
        compare = operator(condition.op, self._within)
        return compare(self._value(condition.left), self._value(condition.right)) != 0

    def state_modes(self, node: Modes | Leave) -> None:
        if isinstance(node, Modes):
            stated = list(node.stated)
        else:
            known, bare = self._control.modes, (word.partition(" ")[0] for word in node.words)
            stated = [known[word] for word in bare if word in known]
        self.changes += [ModeChange(len(self.steps), 0, group, name) for group, name in stated]

    def _value(self, expr: Expr) -> Value:
        match expr:
            case Num():
                return float(expr.value)
            case Var(kind="register"):
                number = self.plan.registers[expr.name]
                self.reads.append(RegisterRead(len(self.steps), 0, number))
                if expr.name in self.values:
                    return self.values[expr.name]
                if self._can_be_empty and self._path.choose(("empty", number)):
                    return None
                return self._path.register(number)
            case Var():
                return self.values[expr.name]
            case Rounded():
                return function(expr.how)(self._value(expr.value))
            case Operation():
                return operator(expr.op, 0.0)(self._value(expr.left), self._value(expr.right))
        raise TypeError(f"not an expression: {expr!r}")
