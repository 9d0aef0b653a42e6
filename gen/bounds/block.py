"""The dress block in a reading: which of the steps, modes and register reads belong to it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import cached_property
from operator import attrgetter, itemgetter
from typing import TypeVar, cast

from gen.base.dataclass import dataclass
from gen.plan.step import UNKNOWN, Dwell, ModeChange, Move, RegisterRead, Spindle, Step, Stop
from gen.reader.reading import Reading
from gen.reader.standing import InForce

S = TypeVar("S", bound=Step)


@dataclass(frozen=True, eq=False)
class DressBlock:
    """The source lines ``first`` to ``last``, both included, which are the window of ``reading``."""

    reading: Reading
    first: int
    last: int

    def has(self, line: int) -> bool:
        """Whether the source line belongs to the block."""
        return self.first <= line <= self.last

    @cached_property
    def visits(self) -> tuple[range, ...]:
        """The runs of steps that lie in the block, by step number: one for each time it is reached."""
        return self.reading.visits

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
        if kind is Move and self._has_many_moves:
            return cast("Iterator[tuple[int, S]]", self.reading.moves(self.run if within is None else within))
        found = cast("list[tuple[int, S]]", self._by_kind.get(kind, []))
        if within is None:
            return iter(found)
        low, high = (bisect_left(found, number, key=itemgetter(0)) for number in (within.start, within.stop))
        return iter(found[low:high])

    @cached_property
    def _has_many_moves(self) -> bool:
        return self.reading.many_moves(self.run)

    @cached_property
    def slowest_turn(self) -> float:
        """The lowest speed above 1 rpm that the block asks for, rpm; 0 where it asks for none."""
        return min((step.rpm for _, step in self.steps(Spindle) if step.rpm > 1), default=0.0)

    @cached_property
    def _by_kind(self) -> dict[type, list[tuple[int, Step]]]:
        """The block's steps by kind, with their numbers: every rule asks, and most blocks have few of each."""
        return self.reading.by_kind(self.run)

    @property
    def before(self) -> InForce:
        """What was in force when the first visit began. ``LookupError`` if the block is never reached."""
        return self.reading.window_of(self.run.start).entry.in_force

    @property
    def left(self) -> InForce:
        """What is in force when the first visit is over. ``LookupError`` if the block is never reached."""
        return self.reading.window_of(self.run.stop - 1).leaving.in_force

    @cached_property
    def turnings(self) -> tuple[ModeChange, ...]:
        """Every change of the spindle's speed or sense to another one, in the block and around it.

        One that is told again is none; one that is not known is another each time.
        """
        values: dict[str, str] = {}
        found: list[ModeChange] = []
        for change in self.reading.stated(("speed", "spindle")):
            if change.value == UNKNOWN or change.value != values.get(change.group):
                found.append(change)
            values[change.group] = change.value
        return tuple(found)

    def turned(self, step: int) -> ModeChange | None:
        """Since when the spindle turns as it does before step number ``step``; None if it was told nothing."""
        at = bisect_right(self.turnings, step, key=attrgetter("step"))
        return self.turnings[at - 1] if at else None

    @cached_property
    def stopped(self) -> int:
        """The number of the last step before the block at which the program stops; 0 if it never does."""
        before = (at for at, step in self.reading.standing(range(self.run.start)) if isinstance(step, Stop))
        return max(before, default=0)

    def waited(self, run: range) -> float:
        """The time in s of the dwells among the steps of ``run``, which may begin before the block."""
        low, high = (bisect_left(self._dwells, number, key=itemgetter(0)) for number in (run.start, run.stop))
        return sum(seconds for _, seconds in self._dwells[low:high])

    @cached_property
    def _dwells(self) -> list[tuple[int, float]]:
        steps = self.reading.standing(range(len(self.reading.steps)))
        return [(at, step.seconds) for at, step in steps if isinstance(step, Dwell)]

    @property
    def moves(self) -> Iterator[tuple[int, Move]]:
        """Every move in the block, with its number."""
        return self.steps(Move)

    @cached_property
    def changes(self) -> tuple[ModeChange, ...]:
        """The modes stated inside the block."""
        start, stop = self.run.start, self.run.stop
        return tuple(change for change in self.reading.changes_inside if start <= change.step <= stop)

    def stated_on_entry(self, visit: range) -> list[int]:
        """The lines of the block that state modes before the first step of ``visit``: less where it begins below."""
        return [change.line for change in self.reading.changes_inside if change.step == visit.start]

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
        start, stop = self.run.start, self.run.stop
        return tuple(read for read in self.reading.reads_inside if start <= read.step <= stop)
