"""The run of a lowered program on one path, with formulas for its registers."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace

from gen.base.dataclass import dataclass
from gen.control.model import Control
from gen.plan.step import Register
from gen.reader import plain
from gen.reader.all_states.formulas import NotFollowed
from gen.reader.all_states.paths import Path
from gen.reader.executor import Execution
from gen.reader.operators import Value
from gen.reader.program import Instruction, JumpIf, JumpIfDeleted, Lowered, PlainRow
from gen.reader.reading import Budget, Ending, Reading, ReadState
from gen.reader.variables import HIDDEN, Memory

BUDGET = Budget(steps=3000, jumps=300)


@dataclass(frozen=True)
class Excerpt:
    """The instructions of a program that are read: those of its lines ``first`` to ``last``, or all of them."""

    lowered: Lowered
    first: int = 0
    last: int = 0

    @property
    def whole(self) -> bool:
        return not self.last

    def places(self) -> range:
        """The instructions of these lines, by number."""
        code = self.lowered.code
        if self.whole:
            return range(self.lowered.entry, len(code))
        last_lines = (item.last if isinstance(item, PlainRow) else item.line for item in code)
        start = next((at for at, last in enumerate(last_lines) if last >= self.first), len(code))
        stop = next((at for at in range(start, len(code)) if code[at].line > self.last), len(code))
        return range(start, stop)

    def holds(self, line: int) -> bool:
        return self.whole or self.first <= line <= self.last


def run_on(path: Path, part: Excerpt, state: ReadState, scratch: tuple[int, int]) -> Reading:
    """What ``part`` does on ``path``; past refusals and ends too, as if cycle start were pressed again.

    ``state`` gives the positions and offsets it starts from. Writes of registers
    are steps, but for those of ``scratch``. :class:`NotFollowed` where that cannot be told.
    """
    return _Run(path, part, state, scratch).run()


class _Run(Execution):
    def __init__(self, path: Path, part: Excerpt, state: ReadState, scratch: tuple[int, int]) -> None:
        control = part.lowered.control
        variables = _Registers(control, replace(state, registers={}), path)
        super().__init__(part.lowered, state, _AllBut(*scratch), True, BUDGET, variables)
        self._path = path
        self._part = part
        self._places = part.places()
        self._at = self._places.start

    def _do(self, item: Instruction) -> Ending | None:
        self._path.work()
        self._path.line = item.line
        self._path.asks = isinstance(item, JumpIf)
        if not self._part.whole and self._at - 1 not in self._places:
            if self._at - 1 == self._places.stop:
                return "text"
            raise NotFollowed("a jump leaves the block here, and what it goes on to do is not known")
        return super()._do(item)

    def _deleted(self, item: JumpIfDeleted) -> bool:
        return self._path.choose(("deleted", item.switch))

    def _lines(self, lines: PlainRow) -> Ending | None:
        modal = self._modal
        for line, slots, values in lines.items:
            if line < self._part.first:
                continue
            if not self._part.holds(line):
                return "text"
            self._path.work()
            modal.line = self._path.line = line
            ending = self._block(plain.as_block(modal.control, line, slots, values))
            if ending is not None:
                return ending
        return None


class _Registers(Memory):
    """Values that are unknown until something gives them one."""

    def __init__(self, control: Control, state: ReadState, path: Path) -> None:
        super().__init__(control, state)
        self._path = path
        self._can_be_empty = self._unset is None

    def get(self, register: Register) -> Value:
        home = self._home(register)
        if register in home or isinstance(register, str) or (register == 0 and self._can_be_empty):
            return super().get(register)
        if home is not self._shared or self.is_system(register) or self.may_be_lost(register):
            return super().get(register)  # as the control gives them
        self._check(register)
        self.read.append(register)
        if self._can_be_empty and self._path.choose(("empty", register)):
            return None
        return self._path.register(register)

    def exists(self, register: Register) -> bool:
        if register in self._home(register):
            return True
        if isinstance(register, str) and not self.may_be_lost(register) and not register.startswith(("_", HIDDEN)):
            return False
        raise NotFollowed("whether this variable was ever set is not known")


class _AllBut(Container[Register]):
    """Every register but those from ``first`` to ``last``."""

    def __init__(self, first: int, last: int) -> None:
        self._range = range(first, last + 1)

    def __contains__(self, register: object) -> bool:
        return register not in self._range
