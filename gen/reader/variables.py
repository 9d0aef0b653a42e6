"""The variables of a run: numbered and named, and the ones that belong to a subprogram."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Set

from gen.control.model import Control
from gen.plan.step import Register
from gen.reader.failure import Alarm, Undecided
from gen.reader.operators import Value
from gen.reader.reading import ReadState
from gen.reader.unknown import Unknown
from gen.reader.window import MemoryState

HIDDEN = ":"
"""Begins the name of a variable that only the reader knows, such as the counter of a repeat."""

RETURNED = ("_value", "_value_returned")
"""The names of what a subprogram hands back, and of whether it does, where O words call it."""

_LOST = f"{HIDDEN}lost"
"""Set once a program that was not read may have set any variable."""


def _is_set_alike(one: Mapping[Register, Value], other: Mapping[Register, Value]) -> bool:
    """Whether both hold the same values, or values that nobody knows, in the same variables."""
    return one.keys() == other.keys() and all(
        value == other[register] or (isinstance(value, Unknown) and isinstance(other[register], Unknown))
        for register, value in one.items()
    )


class Memory:
    """Values by register.

    ``read`` collects the registers read since it was last emptied, ``unset`` those that held nothing when read,
    ``unknown`` those whose value the control sets itself, ``asked`` all whose value was asked for or given since
    it was last emptied. ``where`` gives the coordinate in which the axis of a number (0 is X) stands, as the program
    would write it, and ``has_looked`` whether it was ever asked for; ``is_mode`` 1 for a mode in force, else 0; None:
    not known.
    """

    def __init__(self, control: Control, state: ReadState) -> None:
        rules = control.variables
        self._rules = rules
        self.where: Callable[[int], float | None] = lambda axis: None
        self.has_looked = False
        self.is_mode: Callable[[str], float | None] = lambda mode: None
        self._unset: Value = None if rules is not None and rules.unset == "empty" else 0.0
        self._lowest = rules.lowest if rules is not None else 1
        self._highest = (rules.highest if rules is not None else None) or math.inf
        calls = control.flow.subprograms
        self._locals = control.flow.o_words.locals if control.flow.o_words else 0
        if calls is not None and calls.macro_call and rules is not None and rules.local is not None:
            self._locals = rules.local[1]
        self._shared: dict[Register, Value] = dict(state.registers)
        self._held = state.held
        self._lost = ""
        self._own: list[dict[Register, Value]] = [{}]
        self.read: list[Register] = []
        self.unset: set[Register] = set()
        self.unknown: set[Register] = set()
        self.asked: set[Register] = set()
        self._lent: tuple[dict[Register, Value], Set[Register], set[Register]] | None = None

    def get(self, register: Register) -> Value:
        """The value now. A named variable that was never set is an :class:`Alarm`."""
        self.asked.add(register)
        home = self._home(register)
        if isinstance(register, str):
            if register.startswith(HIDDEN):
                return home[register]
            self.read.append(register)
            if register not in home:
                if self._rules is not None and register in self._rules.system_named:
                    return self._named_of_the_control(register)
                if home is self._shared:
                    # another program may have set it before
                    return Unknown(self._lost or f"the variable {register}, which this program does not set")
                raise Alarm(f"the variable {register} was never set")
            return home[register]
        if register == 0 and self._unset is None:
            return None
        self._check(register)
        self.read.append(register)
        if register not in home:
            self.unset.add(register)
            if self.is_system(register):
                return self._of_the_control(register)
            if self.may_be_lost(register):
                return Unknown(self._lost)
        return home.get(register, self._unset)

    def is_system(self, register: Register) -> bool:
        """Whether ``register`` mirrors or sets the control's own state."""
        return self._rules is not None and self._rules.is_own(register)

    def _of_the_control(self, register: int) -> Value:
        """The value that the control has given ``register``."""
        rules = self._rules
        if rules is not None and rules.position is not None and 0 <= register - rules.position < len(rules.axis_order):
            at = self._stands(register - rules.position)
            if at is not None:
                return at
        return self._unknown(register)

    def _stands(self, axis: int) -> float | None:
        self.has_looked = True
        return self.where(axis)

    def of_the_control(self, name: str) -> Unknown:
        """The value of a variable of the control's own; nobody knows it."""
        self.read.append(name)
        self.unknown.add(name)
        return Unknown(name)

    def _named_of_the_control(self, name: str) -> Value:
        """The value that the control has given the variable ``name``."""
        rules, told = self._rules, None
        if rules is not None and name in rules.position_named:
            told = self._stands(rules.position_named.index(name))
        elif rules is not None and name in rules.modes_named:
            told = self.is_mode(rules.modes_named[name])
        return self._unknown(name) if told is None else told

    def _unknown(self, register: Register) -> Unknown:
        self.unknown.add(register)
        return Unknown(f"{register}" if self._rules is None else self._rules.spelled(register))

    def peek(self, register: Register) -> Value:
        """The value now, without a record of the reading; None: empty, or never set."""
        self.asked.add(register)
        return self._home(register).get(register)

    def set(self, register: Register, value: Value) -> None:
        """Gives ``register`` a value. An :class:`Alarm` if no variable has that number."""
        if isinstance(register, int):
            self._check(register)
        self.asked.add(register)
        self._home(register)[register] = value

    def lend(self, values: Mapping[Register, float]) -> None:
        """Registers hold ``values`` until :meth:`take_back`, whatever they held and whoever asks for them."""
        held = {register: self._shared[register] for register in values if register in self._shared}
        self._lent = held, values.keys(), self.asked
        self._shared.update(values)
        self.asked = set()

    def take_back(self) -> None:
        """The registers that were lent hold what they held."""
        if self._lent is not None:
            held, registers, asked = self._lent
            self._lent, self.asked = None, asked | (self.asked - registers)
            self._shared = {register: self._shared[register] for register in self._shared.keys() - registers} | held

    @property
    def is_lent(self) -> bool:
        return self._lent is not None

    def snapshot(self) -> MemoryState:
        """Everything that is set now, to compare with a later moment."""
        return (dict(self._shared), *(dict(own) for own in self._own))

    def restore(self, snapshot: MemoryState, unset: Iterable[Register], asked: Iterable[Register]) -> None:
        """Everything is set as it was at ``snapshot``."""
        shared, *own = snapshot
        self._shared, self._own = dict(shared), [dict(one) for one in own]
        self.unset, self.asked = set(unset), set(asked)

    def are(self, snapshot: MemoryState) -> bool:
        """Whether a run does from here what it did from ``snapshot``: it never decides by what it does not know."""
        now = (self._shared, *self._own)
        return len(snapshot) == len(now) and (snapshot == now or all(map(_is_set_alike, snapshot, now)))

    def lose(self, word: str, registers: Iterable[Register] | None = None) -> None:
        """What ``registers`` hold is not known since ``word``; None: whatever all programs share."""
        why = f"what {word} does"
        if registers is not None:
            for register in registers:
                self.asked.add(register)
                self._home(register)[register] = Unknown(why)
            return
        self._lost = why
        self._shared = {register: value for register, value in self._shared.items() if register in self._held}
        self._shared[_LOST] = 1.0

    @property
    def is_whole(self) -> bool:
        """Whether nothing ever made all of it unknown."""
        return not self._lost

    def may_be_lost(self, register: Register) -> bool:
        """Whether a program that was not read may have set ``register``, which this one has not set since."""
        home = self._home(register)
        return home is self._shared and _LOST in home and register not in home

    def exists(self, register: Register) -> bool:
        """Whether a named variable was ever set. :class:`Undecided` if that is not known."""
        self.asked.add(register)
        if isinstance(register, str) and self.may_be_lost(register):
            raise Undecided(f"whether the variable {register} was ever set")
        return register in self._home(register)

    def enter(self, arguments: Mapping[Register, Value]) -> None:
        """A subprogram begins, with its own variables set to ``arguments``, by number."""
        self._own.append(dict(arguments))

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


def as_number(value: Value) -> int:
    """``value`` as the number of a variable, a line or a program. :class:`Alarm` if it is none,
    :class:`Undecided` if it is not known."""
    if isinstance(value, Unknown):
        raise Undecided(value.what)
    if value is None or abs(value) > 999_999_999 or abs(value - round(value)) > 1e-4:
        raise Alarm("a whole number is wanted here")
    return round(value)
