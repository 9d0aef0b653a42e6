"""Which registers an instruction asks for, told without running it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

from gen.control.model import Control
from gen.plan.step import Register
from gen.reader.expressions import Code, load_indirect, value_of
from gen.reader.failure import Alarm
from gen.reader.operators import Value
from gen.reader.program import Block, Call, GoTo, Instruction, JumpIf, Return, SetOwn
from gen.reader.reading import ReadState
from gen.reader.unknown import Unknown
from gen.reader.variables import Memory


def registers_in(code: object, control: Control) -> frozenset[Register | None]:
    """The registers that ``code`` asks for; None stands for one whose number is worked out."""
    if not isinstance(code, tuple):
        return frozenset()
    asking = _Asking(control, ReadState())
    with suppress(Alarm):  # which would stop the control, whatever the registers hold
        value_of(code, asking)
    return frozenset([*asking.asked, *([None] if load_indirect in code else [])])


def registers_of(item: Instruction, control: Control) -> frozenset[Register | None]:
    """The registers that ``item`` asks for when it acts; None stands for one whose number is worked out."""
    found: set[Register | None] = set()
    for code in codes_of(item):
        found |= registers_in(code, control)
    return frozenset(found)


def codes_of(item: Instruction) -> Iterator[Code]:
    """All that is worked out when ``item`` acts, the numbers of registers that it assigns among it."""
    match item:
        case Block():
            for target, code in item.assignments:
                if isinstance(target, tuple):
                    yield target
                yield code
            yield from (word.value for word in item.words)
        case JumpIf():
            yield item.condition
        case GoTo() if not isinstance(item.label, str):
            yield item.label
        case SetOwn():
            yield item.value
        case Call():
            yield from (*(argument for _, argument in item.arguments), item.repeat)
            if not isinstance(item.name, str):
                yield item.name
        case Return() if item.value is not None:
            yield item.value


class _Asking(Memory):
    """Notes what it is asked for, and knows no value."""

    def get(self, register: Register) -> Value:
        self.asked.add(register)
        return Unknown(str(register))

    def of_the_control(self, name: str) -> Unknown:
        self.asked.add(name)
        return super().of_the_control(name)

    def exists(self, register: Register) -> bool:
        self.asked.add(register)
        return True
