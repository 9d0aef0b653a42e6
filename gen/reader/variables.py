"""The variables of a run: numbered and named, and the ones that belong to a subprogram."""

from __future__ import annotations

import math

from gen.control.model import Control
from gen.plan.step import Register
from gen.reader.failure import Alarm
from gen.reader.operators import Value
from gen.reader.reading import ReadState

HIDDEN = ":"
"""Begins the name of a variable that only the reader knows, such as the counter of a repeat."""


class Variables:
    """Values by register.

    ``read`` collects the registers read since it was last emptied, ``unset`` those that held nothing when read.
    """

    def __init__(self, control: Control, state: ReadState) -> None:
        rules = control.variables
        self._unset: Value = None if rules is not None and rules.unset == "empty" else 0.0
        self._lowest = rules.lowest if rules is not None else 1
        self._highest = (rules.highest if rules is not None else None) or math.inf
        self._locals = control.flow.o_words.locals if control.flow.o_words else 0
        self._shared: dict[Register, Value] = dict(state.registers)
        self._own: list[dict[Register, Value]] = [{}]
        self.read: list[Register] = []
        self.unset: set[Register] = set()

    def get(self, register: Register) -> Value:
        """The value now. A named variable that was never set is an :class:`Alarm`."""
        home = self._home(register)
        if isinstance(register, str):
            if register.startswith(HIDDEN):
                return home[register]
            self.read.append(register)
            if register not in home:
                raise Alarm(f"the variable {register} was never set")
            return home[register]
        if register == 0 and self._unset is None:
            return None
        self._check(register)
        self.read.append(register)
        if register not in home:
            self.unset.add(register)
        return home.get(register, self._unset)

    def peek(self, register: Register) -> float:
        """The value now, without a record of the reading; an empty or unset one is 0."""
        return self._home(register).get(register) or 0.0

    def set(self, register: Register, value: Value) -> None:
        """Gives ``register`` a value. An :class:`Alarm` if no variable has that number."""
        if isinstance(register, int):
            self._check(register)
        self._home(register)[register] = value

    def snapshot(self) -> tuple[dict[Register, Value], ...]:
        """Everything that is set now, to compare with a later moment."""
        return (dict(self._shared), *(dict(own) for own in self._own))

    def exists(self, register: Register) -> bool:
        return register in self._home(register)

    def enter(self, arguments: list[Value]) -> None:
        """A subprogram begins, with its own variables 1, 2, 3, ... set to ``arguments``."""
        self._own.append(dict(enumerate(arguments, 1)))

    def leave(self) -> None:
        self._own.pop()

    def _check(self, number: int) -> None:
        if not self._lowest <= number <= self._highest:
            raise Alarm(f"no variable that may be used here has the number {number}")

    def _home(self, register: Register) -> dict[Register, Value]:
        if isinstance(register, str):
            local = not register.startswith("_") and register not in self._shared
        else:
            local = len(self._own) > 1 and 1 <= register <= self._locals
        return self._own[-1] if local else self._shared


def as_number(value: Value, limit: int = 999_999_999) -> int:
    """``value`` as the number of a variable, a line or a program. :class:`Alarm` if it is none."""
    if value is None or abs(value) > limit or abs(value - round(value)) > 1e-4:
        raise Alarm("a whole number is wanted here")
    return round(value)
