"""The dress block in a reading: which of the steps, modes and register reads belong to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import TypeVar, cast

from gen.plan.step import ModeChange, Move, RegisterRead, Step
from gen.reader.reading import Reading
from gen.reader.spread import Spread, pieces

S = TypeVar("S", bound=Step)


@dataclass(frozen=True, eq=False)
class DressBlock:
    """The source lines ``first`` to ``last`` of a reading, both included."""

    reading: Reading
    first: int
    last: int

    def has(self, line: int) -> bool:
        """Whether the source line belongs to the block."""
        return self.first <= line <= self.last

    @cached_property
    def visits(self) -> tuple[range, ...]:
        """The runs of steps that lie in the block, by step number: one for each time it is reached."""
        runs: list[range] = []
        begun: int | None = None
        index = 0
        for inside, count in self._insides():
            if inside and begun is None:
                begun = index
            elif not inside and begun is not None:
                runs.append(range(begun, index))
                begun = None
            index += count
        if begun is not None:
            runs.append(range(begun, index))
        return tuple(runs)

    def _insides(self) -> Iterator[tuple[bool, int]]:
        """Whether so many steps in a row lie in the block."""
        first, last = self.first, self.last
        for piece in pieces(self.reading.steps):
            if isinstance(piece, list):
                lines: Iterable[int] = (step.line for step in piece)
            elif first <= piece.lines[0] and piece.lines[-1] <= last:
                yield True, piece.count
                continue
            elif piece.lines[-1] < first or last < piece.lines[0]:
                yield False, piece.count
                continue
            else:
                lines = piece.lines
            for inside, together in groupby(first <= line <= last for line in lines):
                yield inside, len(list(together))

    @cached_property
    def run(self) -> range:
        """The steps of the first visit, the one that the state of a case is the state of."""
        end = len(self.reading.steps)
        return self.visits[0] if self.visits else range(end, end)

    @property
    def last_line(self) -> int:
        """The line of the last thing that the block does."""
        return self.reading.steps[self.run.stop - 1].line if self.run else self.last

    def steps(self, kind: type[S], within: range | None = None) -> Iterator[tuple[int, S]]:
        """Every step of ``kind`` in the block, with its number."""
        if kind is Move and isinstance(self.reading.steps, Spread):
            return cast("Iterator[tuple[int, S]]", self._moves(self.run if within is None else within))
        found = cast("list[tuple[int, S]]", self._by_kind.get(kind, []))
        return iter(found) if within is None else (pair for pair in found if pair[0] in within)

    @cached_property
    def _by_kind(self) -> dict[type, list[tuple[int, Step]]]:
        """The block's steps by kind, with their numbers: every rule asks, and most blocks have few of each."""
        found: dict[type, list[tuple[int, Step]]] = {}
        at = 0
        for piece in pieces(self.reading.steps):
            if isinstance(piece, list):
                for index, step in enumerate(piece, at):
                    if index in self.run:
                        found.setdefault(type(step), []).append((index, step))
                at += len(piece)
            else:
                at += piece.count  # nothing but moves, and too many to keep
        return found

    def _moves(self, within: range) -> Iterator[tuple[int, Move]]:
        """The moves of a long program, written out as they are looked at."""
        steps = self.reading.steps
        whole = iter(steps) if within == range(len(steps)) else (steps[index] for index in within)
        for index, step in zip(within, whole, strict=True):
            if isinstance(step, Move):
                yield index, step

    @property
    def moves(self) -> Iterator[tuple[int, Move]]:
        """Every move in the block, with its number."""
        return self.steps(Move)

    @cached_property
    def changes(self) -> tuple[ModeChange, ...]:
        """The modes stated inside the block."""
        near = (
            piece
            for piece in pieces(self.reading.changes)
            if isinstance(piece, list) or (piece.lines[0] <= self.last and self.first <= piece.lines[-1])
        )
        return tuple(change for piece in near for change in piece if self._inside(change))

    def stated_on_entry(self, visit: range) -> list[int]:
        """The lines of the block that state modes before the first step of ``visit``: less where it begins below."""
        return [
            change.line
            for piece in pieces(self.reading.changes)
            if isinstance(piece, list) or (piece.lines[0] <= self.last and self.first <= piece.lines[-1])
            for change in piece
            if change.step == visit.start and self.has(change.line)
        ]

    def stated(self, group: str) -> Sequence[ModeChange]:
        """The modes of ``group`` stated inside the block."""
        return self._by_group.get(group, ())

    @cached_property
    def _by_group(self) -> dict[str, list[ModeChange]]:
        found: dict[str, list[ModeChange]] = {}
        for change in self.changes:
            found.setdefault(change.group, []).append(change)
        return found

    @cached_property
    def reads(self) -> tuple[RegisterRead, ...]:
        """The registers read inside the block."""
        return tuple(read for read in self.reading.reads if self._inside(read))

    def _inside(self, event: ModeChange | RegisterRead) -> bool:
        return self.first <= event.line <= self.last and self.run.start <= event.step <= self.run.stop
