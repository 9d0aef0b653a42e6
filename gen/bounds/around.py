"""What stands around the dress in a grinding program: what was in force before it, and what comes after."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from gen.bounds.block import DressBlock
from gen.plan.step import Move
from gen.reader.in_force import in_force
from gen.reader.reading import Reading
from gen.reader.standing import InForce


@dataclass(frozen=True, eq=False)
class Around:
    """The host around the first visit of ``block``; ``positions`` are those known when the program begins, mm."""

    reading: Reading
    block: DressBlock
    positions: Mapping[str, float]

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

    @cached_property
    def before(self) -> InForce:
        """What was in force when the dress began."""
        return self._at(self.block.run.start, lambda line: not self.block.has(line))

    @cached_property
    def left(self) -> InForce:
        """What is in force when the dress is over."""
        return self._at(self.block.run.stop, self.block.has)

    @cached_property
    def at_grinding(self) -> InForce:
        """What is in force at the first feed move behind the dress, which there must be."""
        assert self.grinding is not None
        return self._at(self.grinding[0], lambda line: True)

    def _at(self, step: int, last: Callable[[int], bool]) -> InForce:
        """What is in force before ``step``; of what is said between it and the step before, up to ``last`` line."""
        return in_force(self.reading, step, None, self.positions, last)
