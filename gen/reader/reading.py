"""What a reading starts from, what limits it, and what it finds."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Iterator, Mapping, Sequence, Set
from dataclasses import field
from typing import Literal, NamedTuple, TypeAlias

from gen.base.dataclass import dataclass
from gen.plan.step import ModeChange, Move, Register, RegisterRead, Step, Unread
from gen.reader.spread import Items, Stretch, abreast, backwards, between, pieces
from gen.reader.window import Window

Ending: TypeAlias = Literal["end", "refused", "return", "text", "budget", "unknown", "again"]
"""How a run ended: program end; a refusal, or an alarm of the control itself; a return with nobody
to return to; the end of the text; a budget that ran out; a decision that depends on an unknown value; a place that was
to be read once, come to again."""

UNFINISHED: tuple[Ending, ...] = ("budget", "unknown")
"""The endings behind which the program may go on, unread."""


Switches: TypeAlias = bool | frozenset[int]
"""The block-delete switches that are on, by number; or whether all of them are."""


@dataclass(frozen=True)
class ReadState:
    """What the control knows before the program runs.

    ``registers``: None is an empty one. ``positions``: machine coordinates
    (mm, rotary degrees); axes not listed are unknown. ``offsets``: work offset
    word to axis to mm; what is not listed is 0. ``held``: registers that are
    taken to stay as they are while a program runs that is kept elsewhere.
    ``others``: marked dresses by number, each with the registers that it finds
    set; behind it they are again what they were before, whatever it did to them.
    """

    registers: Mapping[Register, float | None] = field(default_factory=dict)
    positions: Mapping[str, float] = field(default_factory=dict)
    offsets: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    held: Set[Register] = frozenset()
    others: Mapping[int, Mapping[Register, float]] = field(default_factory=dict)
    block_delete: Switches = False

    def deletes(self, switch: int) -> bool:
        """Whether block-delete switch number ``switch`` is on."""
        return self.block_delete if isinstance(self.block_delete, bool) else switch in self.block_delete


@dataclass(frozen=True)
class Budget:
    """Where a run gives up, so that a hostile or broken program ends soon and fits in memory.

    ``steps`` also bounds mode changes and register reads; ``jumps`` bounds
    everything that leads back: jumps, calls and loop rounds; ``stops`` how often somebody presses cycle start.
    """

    steps: int = 1_000_000
    jumps: int = 100_000
    depth: int = 50
    stops: int = 2_000
    text: int = 64_000_000


class Halt(NamedTuple):
    """Where a run that went on past stops would have ended: how, before which step, and what was unread by then."""

    ending: Ending
    step: int
    unread: Sequence[Unread]


@dataclass
class Reading:
    """What a program did in one run.

    ``modes``: final value of each modal group and the line that set it (None:
    inherited). ``unmodelled``: first line, last line, and what happens there
    that is known but not worked out. ``lost``: first line, line by which it was stated again or the run ended, and
    what was not known between; unlike what is unmodelled, whatever depends on it counts as unknown.
    ``unset``: registers that were read though neither state nor program had given them a value.
    ``calls``: step number (0-based) and line of each call of a subprogram. ``cut``: why a run is unfinished, which is
    among ``unread`` too. ``halt``: where a run past stops first met one. ``windows``: the stays in the window of lines
    that was asked for.
    """

    steps: Items[Step] = field(default_factory=list)
    modes: dict[str, tuple[str, int | None]] = field(default_factory=dict)
    changes: Items[ModeChange] = field(default_factory=list)
    reads: list[RegisterRead] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    unmodelled: list[tuple[int, int, str]] = field(default_factory=list)
    lost: list[tuple[int, int, str]] = field(default_factory=list)
    unset: frozenset[Register] = frozenset()
    calls: list[tuple[int, int]] = field(default_factory=list)
    end: Ending = "text"
    cut: Unread | None = None
    halt: Halt | None = None
    windows: list[Window] = field(default_factory=list, compare=False)

    @property
    def first_halt(self) -> Halt:
        """Where it ends if nobody presses cycle start."""
        return self.halt or Halt(self.end, len(self.steps), self.unread)

    def window_of(self, step: int) -> Window:
        """The stay in the window of lines that step number ``step`` belongs to. ``LookupError`` if there is none."""
        for window in self.windows:
            if window.entry.step <= step < window.leaving.step:
                return window
        raise LookupError(f"step {step} lies in no window")

    def last_stated(self, group: str, step: int) -> ModeChange | None:
        """The last change of ``group`` up to step number ``step``."""
        stop = bisect_right(self.changes, step, key=lambda change: change.step)
        earlier = backwards(self.changes, stop, {group})
        return next((change for _, change in earlier if change.group == group), None)

    def stated(self, groups: Collection[str]) -> Iterator[ModeChange]:
        """The changes of ``groups``, in order."""
        for piece in pieces(self.changes):
            if isinstance(piece, list) or any(group in piece.kinds for group in groups):
                yield from (change for change in piece if change.group in groups)

    @property
    def visits(self) -> tuple[range, ...]:
        """The runs of steps in the window, by step number: one for each time that the program comes there."""
        runs: list[range] = []
        for window in self.windows:
            start, stop = window.entry.step, window.leaving.step
            if runs and runs[-1].stop == start:
                runs[-1] = range(runs[-1].start, stop)
            elif start < stop:
                runs.append(range(start, stop))
        return tuple(runs)

    def moves(self, run: range) -> Iterator[tuple[int, Move]]:
        """The moves among the steps of ``run``, with their numbers, one after the other."""
        for index, step in enumerate(between(self.steps, run.start, run.stop), run.start):
            if isinstance(step, Move):
                yield index, step

    def beside(self, run: range, other: Reading, there: range) -> Iterator[tuple[Step, Step]]:
        """The steps numbered ``run`` in pairs with those numbered ``there`` of ``other``, until either run ends.

        One pair may stand for a row of moves, which all differ as these two do, if at all, but for their lines. They
        move the same axes, and not by steps.
        """
        return abreast(self.steps, run, other.steps, there)

    def starting(self, first: int) -> Iterator[Step]:
        """The steps from number ``first`` on, one after the other."""
        return between(self.steps, first, len(self.steps))

    def standing(self, run: range) -> Iterator[tuple[int, Step]]:
        """The steps of ``run`` with their numbers, without moves that :meth:`many_moves` speaks of."""
        at = 0
        for piece in pieces(self.steps):
            if isinstance(piece, list):
                low, high = max(0, run.start - at), max(0, run.stop - at)
                yield from enumerate(piece[low:high], at + low)
            at += len(piece)

    def many_moves(self, run: range) -> bool:
        """Whether there are moves in ``run`` that are only made while somebody looks at them."""
        at = 0
        for piece in pieces(self.steps):
            if isinstance(piece, Stretch) and at < run.stop and run.start < at + len(piece):
                return True
            at += len(piece)
        return False

    def by_kind(self, run: range) -> dict[type, list[tuple[int, Step]]]:
        """The steps of ``run`` by kind, with their numbers; without moves that :meth:`many_moves` speaks of."""
        found: dict[type, list[tuple[int, Step]]] = {}
        for index, step in self.standing(run):
            found.setdefault(type(step), []).append((index, step))
        return found

    @property
    def reads_inside(self) -> Iterator[RegisterRead]:
        """The registers read in the window, in order."""
        for window in self.windows:
            yield from self.reads[window.entry.counts["reads"] : window.leaving.counts["reads"]]

    @property
    def changes_inside(self) -> Iterator[ModeChange]:
        """The changes in the window, in order."""
        for window in self.windows:
            yield from between(self.changes, window.entry.counts["changes"], window.leaving.counts["changes"])
