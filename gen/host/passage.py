"""A run that comes to a place, passes it, and ends where it would come to it again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set

from gen.plan.step import Register
from gen.reader import Lowered, Reading, ReadState, collector
from gen.reader.executor import Execution
from gen.reader.operators import Value
from gen.reader.program import Instruction
from gen.reader.reading import Budget, Ending


def read_once(
    lowered: Lowered,
    state: ReadState,
    window: Sequence[range],
    place: int | None,
    *,
    given: Mapping[Register, Value] | None = None,
    registers: Set[Register] | None = None,
) -> Reading:
    """What ``lowered`` does from ``state`` until it would come to instruction number ``place`` a second time.

    ``window`` and ``registers``: as for a run. ``given``: values that registers take at the place.
    """
    one = _Passage(lowered, state, registers, False, Budget())
    one.window, one.place, one.given = tuple(window), place, given or {}
    with collector.held_back():
        return one.run()


class _Passage(Execution):
    place: int | None = None
    given: Mapping[Register, Value] = {}
    passed = False

    def _do(self, item: Instruction) -> Ending | None:
        if self._at - 1 == self.place:
            if self.passed:
                return "again"
            self.passed = True
            for register, value in self.given.items():
                self._variables.set(register, value)
        return super()._do(item)
