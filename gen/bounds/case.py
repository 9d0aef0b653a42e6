"""One reading of one program at one state, with all that the rules may ask about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import Literal, TypeAlias, TypeVar, cast

from gen.base.errors import listed
from gen.base.quantities import System, show
from gen.bounds.contacts import TOLERANCE, Contacts, Plunge, follow
from gen.plan.node import State
from gen.plan.step import ModeChange, Move, RegisterRead, Step
from gen.reader.reading import Reading
from gen.reader.spread import Spread, pieces
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.wheel import Wheel

S = TypeVar("S", bound=Step)

Intent: TypeAlias = Literal["dress", "prove-out", "idle"]
"""What the block is to do at a state: dress, the same with the stick held off, or count the part and return."""


@dataclass(frozen=True)
class Seal:
    """The digest that the heading at ``line`` states for a body, and the one the body has now."""

    line: int
    number: int
    stated: str
    computed: str


@dataclass(frozen=True, eq=False)
class Case:
    """A reading, where in it the dress block lies, and the state it was read at.

    ``first`` and ``last`` are the block's source lines, both included.
    ``accepted`` is False for a state in which the block must refuse, and
    ``past_stops`` tells that this reading went on past every stop.
    ``host_modes`` gives the meaning that each modal group must have afterwards,
    ``cancels`` the modes, group and meaning, that the block must state before
    it moves. ``override_lock`` and ``synchronise``: the control has such a word.
    ``counts``: the block counts the parts by itself. ``form``: what it was
    generated as, a block, a subprogram or a whole program. ``mist``: the word
    with which a block may put a grinding program's mist back, if there is one.
    ``bare``: the machine, where nothing tells the recipe.
    """

    reading: Reading
    first: int
    last: int
    dress: Dress | None = None
    state: State | None = None
    accepted: bool = True
    seals: tuple[Seal, ...] = ()
    host_modes: Mapping[str, str] | None = None
    past_stops: bool = False
    override_lock: bool = False
    synchronise: bool = True
    cancels: tuple[tuple[str, str], ...] = ()
    intent: Intent = "dress"
    counts: bool = False
    form: str = "block"
    mist: str = ""
    bare: Machine | None = None

    # -- what recipe, machine and state say

    @property
    def known(self) -> Dress:
        """The dress, for rules that need them."""
        assert self.dress is not None
        return self.dress

    @property
    def start(self) -> State:
        """The state, for rules that need one."""
        assert self.state is not None
        return self.state

    @property
    def machine(self) -> Machine:
        """The machine, for rules that need no recipe."""
        found = self.bare if self.dress is None else self.dress.machine
        assert found is not None
        return found

    @property
    def plunge_axis(self) -> str:
        return self.machine.dresser.plunge_axis

    @cached_property
    def gap(self) -> float:
        """What must lie between stick and wheel before anything but the plunge may happen, mm."""
        return float(self.known.machine.dresser.gap)

    def value(self, name: str) -> float | None:
        """A value of the state, lengths in mm; None where its register was never set."""
        raw = self.start.values.get(name)
        length = name not in ("in_progress", "parts_since_dress")
        return None if raw is None else raw * float(self.known.register_unit) if length else raw

    def of(self, plunge: Plunge) -> Wheel:
        """The wheel that ``plunge`` meets."""
        return self.known.wheels[plunge.wheel]

    def size_of(self, wheel: Wheel) -> float:
        """Diameter, or gauge for face contact, of ``wheel`` at this state, mm."""
        value = self.value(wheel.size_name)
        return float(wheel.size_range[1]) if value is None else value

    @property
    def wheel_size(self) -> float:
        """The size of the only wheel, or of the first one of a pack, mm."""
        return self.size_of(self.known.first)

    @property
    def stick_length(self) -> float:
        """Length of the stick at this state, mm."""
        value = self.value("stick_length")
        return float(self.known.recipe.stick.length) if value is None else value

    @cached_property
    def parks_clear(self) -> bool:
        """Whether the longest stick, parked, stands clear of the largest wheel; True where nothing tells."""
        dresser = None if self.dress is None else self.dress.machine.dresser
        if dresser is None or dresser.parked is None or dresser.datum is None:
            return True
        return dresser.sign * (self.known.earliest_contact - float(dresser.parked)) >= self.gap - TOLERANCE

    # -- the block in the reading

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
    def block(self) -> range:
        """The first visit: the one this case's state is the state of."""
        end = len(self.reading.steps)
        return self.visits[0] if self.visits else range(end, end)

    @property
    def last_line(self) -> int:
        """The line of the last thing that the block does."""
        return self.reading.steps[self.block.stop - 1].line if self.block else self.last

    def steps(self, kind: type[S], within: range | None = None) -> Iterator[tuple[int, S]]:
        """Every step of ``kind`` in the block, with its number."""
        if kind is Move and isinstance(self.reading.steps, Spread):
            return cast("Iterator[tuple[int, S]]", self._moves(self.block if within is None else within))
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
                    if index in self.block:
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
        return self.first <= event.line <= self.last and self.block.start <= event.step <= self.block.stop

    @cached_property
    def contacts(self) -> Contacts:
        """Where stick and wheel meet in the block, and how far apart they are elsewhere."""
        sizes = [self.size_of(one) for one in self.known.wheels]
        return follow(self.reading.steps, self.block, self.known, self.start, sizes, self.stick_length)

    @property
    def held_off(self) -> tuple[tuple[int, Move], ...]:
        """A prove-out's feeds that stand for plunges; the last one of an incremental slide goes to the stand-off."""
        sign = self.known.machine.dresser.sign
        feeds = [
            (index, move)
            for index, move in self.moves
            if move.op == "feed" and move.axes == (self.plunge_axis,) and (self.contacts.advance(index, sign) or 0) > 0
        ]
        return tuple(feeds[:-1] if self.known.incremental else feeds)

    def feeds(self, plunge: Plunge) -> Iterator[tuple[int, float]]:
        """Line and rate, mm/min, of every feed with which ``plunge`` goes into the stick."""
        if self.known.timed:
            if plunge.feed:
                yield plunge.line, plunge.feed
            return
        stop = self.block.stop if plunge.leaves is None else plunge.leaves
        for _, move in self.steps(Move, range(plunge.enters, stop)):
            if move.op != "rapid" and move.rate:
                yield move.line, move.rate

    # -- as the shop reads it

    @property
    def system(self) -> System:
        return "mm" if self.dress is None and self.bare is None else self.machine.units

    def mm(self, value: float) -> str:
        return show(value, "length", self.system)

    def feed(self, value: float) -> str:
        return show(value, "feed", self.system)

    def removal(self, value: float) -> str:
        return show(value, "removal", self.system)

    def speed(self, value: float) -> str:
        return show(value, "peripheral", self.system)

    @property
    def here(self) -> str:
        """The state in words."""
        if len(self.known.wheels) > 1:
            sizes = listed((self.mm(self.size_of(one)) for one in self.known.wheels), "and")
            return f"with wheels of {sizes} and a stick of {self.mm(self.stick_length)}"
        size = "gauge" if self.known.first.face else "wheel"
        if self.known.incremental:
            return f"with a {size} of {self.mm(self.wheel_size)}"
        return f"with a {size} of {self.mm(self.wheel_size)} and a stick of {self.mm(self.stick_length)}"
