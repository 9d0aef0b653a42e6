"""One program read at many states: what stands before and behind a window of lines is read once.

A run is decided by where it is, its variables and what the control remembers.
On the way to the window that is the same for all states that differ only in
variables nobody has asked for by then. Behind the window a run does what an
earlier one did from where both know the same, but for variables that the rest of
the program never asks for.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import replace
from functools import cached_property, partial
from operator import attrgetter

from gen.base.dataclass import dataclass
from gen.plan.step import ModeChange, Register, RegisterRead, Unread
from gen.reader.executor import Execution, run
from gen.reader.operators import Value
from gen.reader.program import Instruction, Lowered, PlainRow
from gen.reader.reading import Budget, Ending, Halt, Reading, ReadState
from gen.reader.spread import Items, Spread, Stretch, extended, pieces
from gen.reader.window import ON_RECORD, Snapshot

_MARKS = 40
"""Instructions behind the window at which a run is compared with earlier ones."""

_KEPT = 4
"""Earlier runs that are kept to be compared with."""

_WORTH = 20
"""Instructions and steps before the window from which on it takes longer to read them again than to remember them."""


class Rereading:
    """``lowered``, to be run from any number of states; ``window`` and ``registers`` as in :func:`gen.reader.run`.

    ``place``: an instruction, by number, that a run passes once, and ends where it would come to it again.
    """

    def __init__(
        self,
        lowered: Lowered,
        window: Sequence[range],
        registers: Set[Register] | None = None,
        place: int | None = None,
    ) -> None:
        self.lowered = lowered
        self.window = tuple(window)
        self.registers = registers
        self.place = place
        self.entry: _Entry | None = None
        self.rests: deque[_Rest] = deque(maxlen=_KEPT)

    def run(
        self, state: ReadState, *, past_stops: bool = False, given: Mapping[Register, Value] | None = None
    ) -> Reading:
        """The same as :func:`gen.reader.run` from ``state``, but for how far one is read that has no end.

        ``given``: values that registers take at the place.
        """
        if not given and not self._is_worth_it:
            return run(self.lowered, state, registers=self.registers, past_stops=past_stops, window=self.window)
        return Rerun(self, state, past_stops, given or {}).run()

    @cached_property
    def _is_worth_it(self) -> bool:
        """Whether much stands outside the window; of a dress alone there is nothing to remember."""
        outside = 0
        for item in self.lowered.code:
            if isinstance(item, PlainRow):
                return True
            outside += not any(item.line in lines for lines in self.window)
        return outside > _WORTH

    def entry_for(self, state: ReadState, past_stops: bool) -> _Entry | None:
        """Where an earlier run came to the window, if one from ``state`` comes there in the same way."""
        entry = self.entry
        if entry is None or (entry.past_stops and not past_stops):
            return None
        ours, theirs = state, entry.state
        same = attrgetter("positions", "offsets", "block_delete", "others")
        if same(ours) != same(theirs):
            return None
        return None if _differing(ours.registers, theirs.registers) & entry.asked else entry

    def rest_for(self, known: Snapshot, state: ReadState, past_stops: bool) -> tuple[_Rest, Snapshot] | None:
        """An earlier run that went on as one does that knows ``known``, and what that one knew at the same place."""
        for rest in self.rests:
            theirs = rest.marks.get(known.at)
            if theirs is None or rest.past_stops != past_stops or (rest.loses and rest.state.held != state.held):
                continue
            if (rest.state.block_delete, rest.state.others) != (state.block_delete, state.others):
                continue
            if not _go_on_alike(known, theirs, rest.asked):
                continue
            if _is_within_budget(
                known.counts[name] + rest.final.counts[name] - theirs.counts[name] for name in ON_RECORD
            ):
                return rest, theirs
        return None


def _differing(ours: Mapping[Register, object], theirs: Mapping[Register, object]) -> set[Register]:
    """The registers that do not hold the same; zeros of either sign are not the same."""
    return {
        register
        for register in ours.keys() | theirs.keys()
        if register not in ours or register not in theirs or not _same(ours[register], theirs[register])
    }


def _same(one: object, other: object) -> bool:
    return one is other or (one == other and repr(one) == repr(other))


def _go_on_alike(one: Snapshot, other: Snapshot, asked: Set[Register]) -> bool:
    """Whether runs that ask for no variables but ``asked`` do the same from here on."""
    told = attrgetter("calls", "modal", "said", "halted")
    if told(one) != told(other) or not asked.isdisjoint(one.unset ^ other.unset):
        return False
    both = zip(one.variables, other.variables, strict=True)  # as many as there are calls with variables of their own
    return all(asked.isdisjoint(_differing(mine, theirs)) for mine, theirs in both)


@dataclass(frozen=True, eq=False)
class _Entry:
    """A run from ``state`` when it first came to the window; ``asked``: the variables it had asked for by then."""

    state: ReadState
    past_stops: bool
    asked: Set[Register]
    known: Snapshot
    record: Reading


@dataclass(frozen=True, eq=False)
class _Rest:
    """How a run went on behind the window.

    ``marks``: what it knew at some instructions; ``asked``: the variables it
    asked for from there on, and whether it ``loses`` all but those held in its ``state``; ``final``: what the control
    remembered at the end.
    """

    state: ReadState
    past_stops: bool
    loses: bool
    marks: Mapping[int, Snapshot]
    asked: Set[Register]
    final: Snapshot
    end: Ending
    cut: Unread | None
    record: Reading


class Rerun(Execution):
    """One run, which begins and ends as earlier ones did where that is known."""

    def __init__(self, home: Rereading, state: ReadState, past_stops: bool, given: Mapping[Register, Value]) -> None:
        super().__init__(home.lowered, state, home.registers, past_stops, Budget(), window=home.window)
        self._home = home
        self._given = given
        self._has_passed = False
        self._has_come = False
        self._marks: dict[int, Snapshot] = {}
        self._stays = 0
        self._compared = 0

    def _end(self) -> Ending:
        entry = self._home.entry_for(self._state, self._past_stops)
        if entry is not None:
            self._resume(entry)
        ending = super()._end()
        if self._marks and len(self._modal.reading.windows) == self._stays:
            asked, record = set(self._variables.asked), _record(self._modal.reading)
            loses, cut = not self._variables.is_whole, self._modal.reading.cut
            rest = _Rest(self._state, self._past_stops, loses, self._marks, asked, self._known(), ending, cut, record)
            self._home.rests.appendleft(rest)
        return ending

    def _do(self, item: Instruction) -> Ending | None:
        if self._touches(item):
            if not self._has_come:
                self._come()
        elif self._has_come and self._compared < _MARKS:
            self._cross(item.line)
            if self._is_straight and (ending := self._mark()) is not None:
                return ending
        if self._at - 1 == self._home.place:
            if self._has_passed:
                return "again"
            self._has_passed = True
            for register, value in self._given.items():
                self._variables.set(register, value)
        return super()._do(item)

    def _touches(self, item: Instruction) -> bool:
        """Whether ``item``, or any of its lines, stands in the window."""
        if isinstance(item, PlainRow):
            return any(item.line < lines.stop and lines.start <= item.last for lines in self.window)
        return item.line in self._window_lines

    @property
    def _is_straight(self) -> bool:
        """Whether nothing is remembered beside what is compared: of stops, of what was lost, and of what was lent.

        Of rounds nothing has to be: a run that begins to watch for them later finds them later.
        """
        if self._home.place is not None and self._has_passed != bool(self._modal.reading.windows):
            return False
        whole = self._variables.is_whole and not self._variables.is_lent
        return self._stops == 0 and self._modal.is_sure and whole

    def _known(self) -> Snapshot:
        """All that decides how the run goes on."""
        modal, variables = self._modal, self._variables
        return replace(
            self._moment(),
            at=self._at - 1,
            modal=modal.snapshot(),
            calls=tuple(self._calls),
            jumps=self._jumps,
            unset=set(variables.unset),
            said=tuple(modal.reading.unmodelled[-20:]),
            halted=modal.reading.halt is not None,
        )

    def _come(self) -> None:
        """The run comes to the window for the first time."""
        self._has_come = True
        reading, home = self._modal.reading, self._home
        clean = self._is_straight and reading.halt is None
        if home.entry is None and clean and self._at + len(reading.steps) > _WORTH:
            asked, record = set(self._variables.asked), _record(reading)
            home.entry = _Entry(self._state, self._past_stops, asked, self._known(), record)

    def _resume(self, entry: _Entry) -> None:
        """Goes on from where the run of ``entry`` came to the window, with the registers of this one's own state."""
        known, ours = entry.known, self._state.registers
        own = _differing(ours, entry.state.registers)
        shared = {register: value for register, value in known.variables[0].items() if register not in own}
        shared |= {register: value for register, value in ours.items() if register in own}
        self._variables.restore((shared, *known.variables[1:]), known.unset, entry.asked)
        self._modal.restore(known.modal)
        _extend(self._modal.reading, entry.record, dict.fromkeys(ON_RECORD, 0), known.counts, 0)
        self._at, self._jumps = known.at, known.jumps
        self._calls = list(known.calls)

    def _mark(self) -> Ending | None:
        """Notes what is known; where an earlier run went on from the same, that is how this one ends."""
        self._compared += 1
        known = self._known()
        found = self._home.rest_for(known, self._state, self._past_stops)
        if found is None:
            if not self._marks:
                self._variables.asked = set()
                self._stays = len(self._modal.reading.windows)
            self._marks[known.at] = known
            return None
        rest, theirs = found
        moved, reading = known.counts["steps"] - theirs.counts["steps"], self._modal.reading
        if reading.halt is None and (halt := rest.record.halt):
            unread = (*reading.unread, *halt.unread[theirs.counts["unread"] :])
            reading.halt = Halt(halt.ending, halt.step + moved, unread)
        _extend(reading, rest.record, theirs.counts, rest.final.counts, moved)
        reading.cut = rest.cut
        self._modal.restore(rest.final.modal)
        self._variables.unset = set(known.unset | (rest.final.unset - theirs.unset))
        self._marks = {}
        return rest.end


def _is_within_budget(counts: Iterable[int]) -> bool:
    steps, *others = counts
    return steps <= Budget().steps and sum(others) <= 4 * Budget().steps


def _record(reading: Reading) -> Reading:
    """What is on record; the lists that a run does more with than to add to them are copies."""
    kept = {name: getattr(reading, name) for name in (*ON_RECORD, "halt")}
    return Reading(
        **{**kept, "unread": list(reading.unread), "unmodelled": list(reading.unmodelled), "lost": list(reading.lost)}
    )


def _extend(reading: Reading, record: Reading, start: Mapping[str, int], stop: Mapping[str, int], moved: int) -> None:
    """Puts on record what ``record`` has from ``start`` up to ``stop``, with its steps ``moved`` so many numbers on."""
    part = {name: slice(start[name], stop[name]) for name in ON_RECORD}
    reading.steps = extended(reading.steps, record.steps, part["steps"])
    changes = _moved(extended([], record.changes, part["changes"]), moved)
    reading.changes = extended(reading.changes, changes, slice(0, len(changes)))
    new = tuple.__new__
    for step, line, register in record.reads[part["reads"]]:
        reading.reads.append(new(RegisterRead, (step + moved, line, register)))
    reading.unread += record.unread[part["unread"]]
    reading.unmodelled += record.unmodelled[part["unmodelled"]]
    reading.lost += record.lost[part["lost"]]
    reading.calls += ((step + moved, line) for step, line in record.calls[part["calls"]])


def _moved(changes: Items[ModeChange], by: int) -> Items[ModeChange]:
    if not by:
        return changes
    moved = Spread[ModeChange]()
    for piece in pieces(changes):
        if isinstance(piece, list):
            moved.extend(_all_moved(piece, by))
        else:
            moved.defer(replace(piece, written=partial(_written_moved, piece, by)))
    return moved


def _written_moved(stretch: Stretch[ModeChange], by: int, first: int, stop: int) -> list[ModeChange]:
    return _all_moved(stretch.written(first, stop), by)


def _all_moved(changes: list[ModeChange], by: int) -> list[ModeChange]:
    new = tuple.__new__
    return [new(ModeChange, (step + by, line, group, value)) for step, line, group, value in changes]
