"""What stands around the dress in a grinding program: what was in force before it, and what comes after."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.bounds.block import DressBlock
from gen.plan.step import Move
from gen.reader.reading import Reading
from gen.reader.standing import InForce


@dataclass(frozen=True, eq=False)
class Around:
    """The host around the first visit of ``block``, whose lines are the window of the ``reading``."""

    reading: Reading
    block: DressBlock

    def moves(self) -> Iterator[tuple[int, Move]]:
        """Every move behind the dress, up to the next visit, with its step number."""
        visits, steps, stop = self.block.visits, self.reading.steps, self.block.run.stop
        until = visits[1].start if len(visits) > 1 else len(steps)
        return self.reading.moves(range(stop, until))

    @cached_property
    def first(self) -> tuple[int, Move] | None:
        """The first move behind the dress; None where there is none, or no dress."""
        return next(self.moves(), None) if self.block.run else None

    @cached_property
    def grinding(self) -> tuple[int, Move] | None:
        """The first feed move behind the dress."""
        if self.first is None:
            return None
        return next(((index, move) for index, move in self.moves() if move.op != "rapid"), None)

    @property
    def before(self) -> InForce:
        """What was in force when the dress began, which there must be."""
        return self.block.entry.in_force

    @property
    def left(self) -> InForce:
        """What is in force when the dress is over."""
        return self.reading.window_of(self.block.run.stop - 1).leaving.in_force

    def at_grinding(self, group: str, default: str = "") -> str:
        """What the program has said of ``group`` at the first feed move behind the dress, which there must be."""
        assert self.grinding is not None
        said = self.reading.last_stated(group, self.grinding[0])
        return default if said is None else said.value
