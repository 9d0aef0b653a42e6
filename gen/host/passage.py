"""Runs that come to a place, pass it, and end where they would come to it again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set

from gen.plan.step import Register
from gen.reader import Lowered, Reading, ReadState
from gen.reader.operators import Value
from gen.reader.program import Instruction
from gen.reader.reading import Ending
from gen.reader.rereading import Rereading, Rerun


class Passages(Rereading):
    """What ``lowered`` does until it would come to instruction number ``place`` a second time, from any state.

    ``window`` and ``registers``: as for a run.
    """

    def __init__(
        self,
        lowered: Lowered,
        window: Sequence[range],
        place: int | None,
        registers: Set[Register] | None = None,
    ) -> None:
        super().__init__(lowered, window, registers)
        self.place = place

    def read_once(self, state: ReadState, given: Mapping[Register, Value] | None = None) -> Reading:
        """One run from ``state``. ``given``: values that registers take at the place."""
        one = _Passage(self, state, False)
        one.place, one.given = self.place, given or {}
        return one.run()


class _Passage(Rerun):
    place: int | None = None
    given: Mapping[Register, Value] = {}
    passed = False

    @property
    def _is_straight(self) -> bool:
        return super()._is_straight and self.passed == bool(self._modal.reading.windows)

    def _act(self, item: Instruction) -> Ending | None:
        if self._at - 1 == self.place:
            if self.passed:
                return "again"
            self.passed = True
            for register, value in self.given.items():
                self._variables.set(register, value)
        return super()._act(item)
