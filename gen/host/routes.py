"""Every way that a program can go, whatever it decides when it runs.

A program is cut into pieces that are only ever run from their first instruction to their last. A spot is a piece
together with the calls that are open there, so that a subprogram returns to whoever called it, and nowhere else.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import field
from functools import cached_property
from typing import TypeAlias, TypeVar

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.plan.step import Register
from gen.reader.asked import registers_of
from gen.reader.program import (
    Block,
    Call,
    Comment,
    EndOfText,
    GoTo,
    Instruction,
    Jump,
    JumpIf,
    JumpIfDeleted,
    Lowered,
    PlainRow,
    Return,
)

Calls: TypeAlias = tuple[tuple[int, int], ...]
"""The open calls: the instruction that each goes back to, and the one that its subprogram begins with."""
Spot: TypeAlias = tuple[int, Calls]
"""The first instruction of a piece, and the calls that are open there."""

Asking: TypeAlias = tuple[Instruction, frozenset[Register | None]]
"""An instruction and the registers that it asks for; None stands for one whose number is worked out."""

MOST_SPOTS = 100_000

_Node = TypeVar("_Node", bound=Hashable)


@dataclass(frozen=True, eq=False)
class Routes:
    """The ways through ``lowered``, in which instruction number ``place`` is a piece of its own."""

    lowered: Lowered
    place: int
    _after: dict[Spot, tuple[Spot, ...]] = field(default_factory=dict)

    @property
    def start(self) -> Spot:
        return self.lowered.entry, ()

    def piece(self, spot: Spot) -> range:
        """The instructions of the piece at ``spot``, by number."""
        starts = self._starts
        at = bisect_right(starts, spot[0])
        return range(spot[0], starts[at] if at < len(starts) else len(self.lowered.code))

    def after(self, spot: Spot) -> tuple[Spot, ...]:
        """The spots that may follow ``spot``. :class:`DressblockError` where there is no end of them."""
        found = self._after.get(spot)
        if found is None:
            found = self._after[spot] = tuple(dict.fromkeys(self._next(spot)))
            if len(self._after) > MOST_SPOTS:
                raise DressblockError(
                    f"this program can take its calls and branches in more than {MOST_SPOTS} ways, which are not "
                    "followed; splice a dress into a program with fewer of them, or into the subprogram itself."
                )
        return found

    def reach(self, starts: Iterable[Spot]) -> dict[Spot, None]:
        """The spots that a run at ``starts`` may come to, those themselves included."""
        return closure(starts, self.after)

    @cached_property
    def everywhere(self) -> dict[Spot, None]:
        """The spots that a run may come to."""
        return self.reach([self.start])

    @cached_property
    def before(self) -> dict[Spot, list[Spot]]:
        """The spots that a run may come from, by the spot it comes to."""
        found: dict[Spot, list[Spot]] = {}
        for spot in self.everywhere:
            for later in self.after(spot):
                found.setdefault(later, []).append(spot)
        return found

    @cached_property
    def places(self) -> tuple[Spot, ...]:
        """The place, once for each set of calls through which a run may come to it."""
        return tuple(spot for spot in self.everywhere if spot[0] == self.place)

    @cached_property
    def behind(self) -> dict[Spot, None]:
        """The spots that may follow the place."""
        return self.reach([later for spot in self.places for later in self.after(spot)])

    @property
    def asking(self) -> list[Asking]:
        """The instructions that a run may come to and that ask for registers, and which those are."""
        return self._asking(self.everywhere)

    @cached_property
    def asking_behind(self) -> list[Asking]:
        """Those of them that may follow the place."""
        return self._asking(self.behind)

    @cached_property
    def asking_ahead(self) -> list[Asking]:
        """Those of them from which a run may come to the place."""
        return self._asking(self.ahead)

    @property
    def switched_ahead(self) -> bool:
        """Whether a line from which a run may come to the place is left out where a switch says so."""
        return any(isinstance(item, JumpIfDeleted) for item in self._items(self.ahead))

    def _asking(self, spots: Iterable[Spot]) -> list[Asking]:
        both = ((item, registers_of(item, self.lowered.control)) for item in self._items(spots))
        return [(item, asked) for item, asked in both if asked]

    def _items(self, spots: Iterable[Spot]) -> Iterator[Instruction]:
        return (self.lowered.code[at] for at in sorted({at for spot in spots for at in self.piece(spot)}))

    @cached_property
    def ahead(self) -> dict[Spot, None]:
        """The spots from which a run may come to the place."""
        return closure(
            [one for spot in self.places for one in self.before.get(spot, ())], lambda one: self.before.get(one, ())
        )

    @property
    def comes_again(self) -> bool:
        """Whether one run may pass the place more than once."""
        return any(spot in self.behind for spot in self.places) or len(self.places) > 1

    @cached_property
    def hands_back(self) -> Return | None:
        """A return with no call open: the program goes round, or back to a program that is not here."""
        code = self.lowered.code
        last = ((self.piece(spot), spot[1]) for spot in self.everywhere)
        found = (code[piece[-1]] for piece, calls in last if piece and not calls)
        return next((item for item in found if isinstance(item, Return)), None)

    @cached_property
    def gaps(self) -> dict[int, int]:
        """The first line in front of each instruction that was not understood at all, by the instruction's number."""
        code = self.lowered.code
        lines = [item.line for item in code]
        there = set(lines)
        lost = sorted((entry.line for entry in self.lowered.unread if entry.line not in there), reverse=True)
        return {bisect_right(lines, line): line for line in lost}

    def leads(self, line: int) -> bool:
        """Whether a run may come from ``line`` to the place."""
        return any(self._is_on(number, line) for spot in self.ahead for number in self.piece(spot))

    def _is_on(self, at: int, line: int) -> bool:
        item = self.lowered.code[at]
        if self.gaps.get(at) == line:
            return True
        return item.line <= line <= item.last if isinstance(item, PlainRow) else item.line == line

    @cached_property
    def _starts(self) -> list[int]:
        """Where the pieces begin."""
        lowered, code = self.lowered, self.lowered.code
        starts = {lowered.entry, self.place, self.place + 1, *lowered.programs.values()}
        if any(lowered.jumps_to_labels()):
            starts.update(place for places in lowered.labels.values() for place in places)
        for at, item in enumerate(code):
            if isinstance(item, (Jump, JumpIf, JumpIfDeleted)):
                starts.update((item.target, at + 1))
            elif not isinstance(item, PlainRow) and (not isinstance(item, Block) or ends(lowered, item)):
                starts.add(at + 1)
        return sorted(at for at in starts if at < len(code))

    def _next(self, spot: Spot) -> Iterator[Spot]:
        lowered, calls = self.lowered, spot[1]
        piece = self.piece(spot)
        if not piece:
            return
        at = piece[-1]
        item, later = lowered.code[at], at + 1
        targets = [later] if later < len(lowered.code) else []
        match item:
            case Jump():
                targets = [item.target]
            case JumpIf():
                targets = [*targets, item.target]
                if isinstance(item.condition, float):
                    targets = targets[-1:] if (item.condition != 0) == item.when else targets[:-1]
            case JumpIfDeleted():
                targets = [*targets, item.target]
            case GoTo():
                targets = self._labelled(at, item)
            case Call():
                yield from self._into(item, later, calls)
                return
            case Return():
                if not calls:
                    yield self.start
                    return
                back, begun = calls[-1]
                yield back, calls[:-1]
                yield begun, calls
                return
            case EndOfText():
                return
            case Comment() | Block():
                targets = [] if ends(lowered, item) else targets
        yield from ((target, calls) for target in targets if target < len(lowered.code))

    def _labelled(self, at: int, item: GoTo) -> list[int]:
        """Where ``item`` may lead; one that is worked out may lead to any line that has a number."""
        label = int(item.label) if isinstance(item.label, float) else item.label
        if isinstance(label, (int, str)):
            found = self.lowered.find_label(label, at, item.direction)
            return [] if found is None else [found]
        named = (self.lowered.find_label(one, at, item.direction) for one in self.lowered.labels)
        return [one for one in named if one is not None]

    def _into(self, item: Call, later: int, calls: Calls) -> Iterator[Spot]:
        """The subprogram that ``item`` calls; if it is not in this text, or may be called no time, what follows."""
        programs = self.lowered.programs
        names = [self.lowered.called(item.name)[0]] if isinstance(item.name, str) else list(programs)
        begun = [programs[name] for name in names if name in programs]
        for start in begun:
            yield start, (*calls, (later, start))
        if not begun or not isinstance(item.repeat, float) or item.repeat < 1:
            yield later, calls


def is_elsewhere(lowered: Lowered, item: Call) -> bool:
    """Whether ``item`` may call a program that is not in this text, and that nobody vouches for."""
    if not isinstance(item.name, str):
        return True
    name, _ = lowered.called(item.name)
    return name not in lowered.programs and name not in lowered.unchanged


def ends(lowered: Lowered, item: Instruction) -> bool:
    """Whether the program ends, or the control stops it, with ``item``."""
    if isinstance(item, Comment):
        return item.stops is not None
    if not isinstance(item, Block):
        return False
    if item.assignments:
        rules = lowered.control.variables
        if rules is not None and any(target == rules.alarm for target, _ in item.assignments):
            return True
    return item.sorted is not None and any(name.startswith("end") for name in item.sorted.endings)


def closure(starts: Iterable[_Node], step: Callable[[_Node], Iterable[_Node]]) -> dict[_Node, None]:
    """All that one comes to from ``starts``, those included, where ``step`` tells what follows each."""
    found = dict.fromkeys(starts)
    waiting = list(found)
    while waiting:
        for later in step(waiting.pop()):
            if later not in found:
                found[later] = None
                waiting.append(later)
    return found
