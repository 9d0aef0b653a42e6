"""Whether the dress lies between marks of ours, and which lines around it are its own program's."""

from __future__ import annotations

import math
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.bounds.block import DressBlock
from gen.control.seal import MarkedBlock
from gen.shop.edition import Form


@dataclass(frozen=True, eq=False)
class Marks:
    """``seals`` are all marked blocks of the text; ``block`` is the dress in it, which is of ``form``."""

    block: DressBlock
    seals: tuple[MarkedBlock, ...]
    form: Form

    @property
    def ours(self) -> bool:
        """Whether a heading stands at the block's first line, so that it is a block of ours."""
        return any(seal.first == self.block.first for seal in self.seals)

    @property
    def alone(self) -> bool:
        """Whether the text is a program or subprogram of ours and nothing else: one dress, and nobody here calls it."""
        return self.one_dress and self._call is None

    @property
    def one_dress(self) -> bool:
        """Whether the text is a program or subprogram of ours, whoever calls it."""
        return self.form != "block" and len(self.seals) == 1 and self.ours

    def owns(self, line: int, step: int = 0) -> bool:
        """Whether ``line``, run before step number ``step``, is the program's own, outside its marks.

        All lines are, unless the program that calls a subprogram stands in the same text, before it or behind it;
        none where it is no program or subprogram of ours.
        """
        block, call = self.block, self._call
        if not self.one_dress:
            return False
        if call is not None and call < block.first:
            return line > block.last or (step <= block.run.start and call < line < block.first)
        return line < self._main and not block.has(line)

    @cached_property
    def _call(self) -> int | None:
        """The line outside the block that last called before it was reached."""
        if self.form != "subprogram":
            return None
        block = self.block
        calls = [line for at, line in block.reading.calls if at <= block.run.start and not block.has(line)]
        return calls[-1] if calls else None

    @cached_property
    def _main(self) -> float:
        """The line behind the block where the program begins that calls it; no line where none does."""
        if self._call is None:
            return math.inf
        reading = self.block.reading
        firsts = (events[0].line for events in (reading.steps, reading.changes, reading.reads) if len(events))
        return min((place for place in (*firsts, self._call) if place > self.block.last), default=self._call)
