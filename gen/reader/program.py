"""The handful of instructions that every flow construct of every control lowers to."""

from __future__ import annotations

import re
from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import field
from functools import cached_property
from itertools import combinations, count, pairwise, repeat
from operator import itemgetter
from typing import Literal, NamedTuple, TypeAlias

from gen.base.dataclass import dataclass
from gen.control.model import Control
from gen.control.seal import DRESSES, MarkedBlock, blocks
from gen.plan.step import Register, Unread
from gen.reader.expressions import Code
from gen.reader.sorting import Sorted
from gen.reader.word import Word

Assignment: TypeAlias = tuple[Register | Code, Code]
"""A register (its number, its name, or the code of its number) and the code of its value."""


class Slots(NamedTuple):
    """What one shape of plain line holds: the values of ``axes``, then of F if ``feed``."""

    motion: str | None
    axes: tuple[str, ...]
    feed: bool


Item: TypeAlias = tuple[int, Slots, tuple[float, ...]]
"""A plain line: its number, its slots, and the values in them."""


def _stretches(places: Iterable[int], count: int) -> Iterator[tuple[int, int]]:
    """From where to where the stretches of ``count`` things reach that are cut at ``places``; none is empty."""
    return ((begin, end) for begin, end in pairwise((0, *places, count)) if begin < end)


@dataclass(slots=True)
class PlainLines:
    """Plain lines in a row."""

    items: list[Item]

    def cut(self, numbers: Sequence[int]) -> Iterator[PlainLines]:
        """The lines in stretches, cut before each of the line ``numbers``, which ascend."""
        places = (bisect_left(self.items, number, key=itemgetter(0)) for number in numbers)
        return (PlainLines(self.items[begin:end]) for begin, end in _stretches(places, len(self.items)))

    @property
    def line(self) -> int:
        """The number of the first one."""
        return self.items[0][0]

    @property
    def last(self) -> int:
        """The number of the last one."""
        return self.items[-1][0]


@dataclass(slots=True)
class Columns:
    """Plain lines of one shape in a row, the first of them number ``line``, as columns of values.

    ``stated``: the slots of each, where the shape has a motion code; ``slots`` where it has none.
    """

    line: int
    slots: Slots
    stated: list[Slots] | None
    values: tuple[array[float], ...]

    def cut(self, numbers: Sequence[int]) -> Iterator[Columns]:
        """As :meth:`PlainLines.cut`."""
        lines = len(self.values[0])
        places = (min(max(number - self.line, 0), lines) for number in numbers)
        return (self if end - begin == lines else self.part(begin, end) for begin, end in _stretches(places, lines))

    def part(self, begin: int, end: int) -> Columns:
        """The lines from place ``begin`` up to ``end`` among these."""
        stated = None if self.stated is None else self.stated[begin:end]
        return Columns(self.line + begin, self.slots, stated, tuple(column[begin:end] for column in self.values))

    @property
    def items(self) -> Iterator[Item]:
        each = repeat(self.slots) if self.stated is None else self.stated
        return zip(count(self.line), each, zip(*self.values, strict=True), strict=False)

    @property
    def last(self) -> int:
        """The number of the last one."""
        return self.line + len(self.values[0]) - 1

    @property
    def end(self) -> Item:
        """The last one."""
        slots = self.slots if self.stated is None else self.stated[-1]
        return self.last, slots, tuple(column[-1] for column in self.values)


PlainRow: TypeAlias = PlainLines | Columns
"""Plain lines in a row; ``line`` is the first of them, as of any other instruction."""


@dataclass(slots=True)
class Block:
    """A line of words and assignments; ``sorted``: the words sorted, where that does not depend on their values."""

    line: int
    words: tuple[Word, ...] = ()
    assignments: tuple[Assignment, ...] = ()
    comments: tuple[str, ...] = ()
    messages: tuple[str, ...] = ()
    sorted: Sorted | None = None


@dataclass(slots=True)
class SetOwn:
    """A variable of the reader's own takes a value; not counted as a write."""

    line: int
    name: str
    value: Code
    whole: bool = False


@dataclass(slots=True)
class Jump:
    line: int
    target: int = -1


@dataclass(slots=True)
class JumpIf:
    """Jumps when the truth of ``condition`` is ``when``."""

    line: int
    condition: Code
    when: bool
    target: int = -1


@dataclass(slots=True)
class JumpIfDeleted:
    """Jumps over a line that the block-delete switch of this number takes out."""

    line: int
    switch: int = 1
    target: int = -1


@dataclass(slots=True)
class Comment:
    """A comment that does something: what the reader does not follow, or an end of the program with a message."""

    line: int
    acts: str
    stops: str | None


MANY_SWITCHES = 4
"""Block-delete switches of which every combination is looked at."""

JumpDirection: TypeAlias = Literal["either", "forward", "backward"]
"""Where a jump looks: ``either`` takes the next target ahead, else the first in the program."""


@dataclass(slots=True)
class GoTo:
    """Jumps to the line numbered ``label``, or named so."""

    line: int
    label: Code | str
    direction: JumpDirection = "either"


@dataclass(slots=True)
class Call:
    """Calls a program; ``scoped``: with variables of its own, by number set to ``arguments``."""

    line: int
    name: str | Code
    arguments: tuple[tuple[int, Code], ...] = ()
    repeat: Code = 1.0
    scoped: bool = False


@dataclass(slots=True)
class Return:
    line: int
    value: Code | None = None


@dataclass(slots=True)
class EndOfText:
    """The text of a program ends here."""

    line: int


Instruction: TypeAlias = (
    PlainRow | Block | SetOwn | Jump | JumpIf | JumpIfDeleted | GoTo | Call | Return | Comment | EndOfText
)


def program_name(written: str) -> str:
    """The name under which a program is kept that somebody wrote as ``P3000``, ``L100`` or ``measure``."""
    number = re.fullmatch(r"[A-Z]?0*([0-9]+)", written)
    return number[1] if number else written.lower()


@dataclass
class Lowered:
    """A program ready to run: build with :func:`gen.reader.lower`, run with :func:`gen.reader.run`."""

    control: Control
    code: list[Instruction] = field(default_factory=list)
    labels: dict[int | str, list[int]] = field(default_factory=dict)
    programs: dict[str, int] = field(default_factory=dict)
    sections: list[int] = field(default_factory=lambda: [0])
    entry: int = 0
    unread: list[Unread] = field(default_factory=list)
    text: str = ""
    too_long: bool = False

    @cached_property
    def _texts(self) -> list[str]:
        return self.text.split("\n")

    def text_of(self, line: int) -> str:
        """The text of ``line``, counted from 1, in characters that can be shown."""
        return self._texts[line - 1].strip().encode(errors="replace").decode()

    def find_label(self, label: int | str, at: int, direction: JumpDirection = "either") -> int | None:
        """The instruction that the line number or name ``label`` leads to, as seen from instruction ``at``."""
        section = bisect_right(self.sections, at)
        first = self.sections[section - 1]
        last = self.sections[section] if section < len(self.sections) else len(self.code) + 1
        places = [place for place in self.labels.get(label, ()) if first <= place < last]
        if direction == "backward":
            return next((place for place in reversed(places) if place <= at), None)
        if direction == "forward":
            return next((place for place in places if place > at), None)
        return next((place for place in places if place > at), places[0] if places else None)

    @cached_property
    def unchanged(self) -> frozenset[str]:
        """The programs kept elsewhere that somebody vouches for."""
        return frozenset(map(program_name, self.control.unchanged))

    def called(self, name: str) -> tuple[str, int | None]:
        """The program that a call of ``name`` runs; and how often, where the number begins with that count.

        It does where no program of the whole number is known, and one of the number's end is.
        """
        rules = self.control.flow.subprograms
        digits = 0 if rules is None else rules.number_digits
        known = self.programs.keys() | self.unchanged
        if digits and len(name) > digits and name.isdigit() and name not in known:
            number = str(int(name[-digits:]))
            if number in known:
                return number, int(name[:-digits])
        return name, None

    @cached_property
    def dresses(self) -> list[MarkedBlock]:
        """The dresses between marks, and the calls of one."""
        return list(blocks(self._texts, (*DRESSES, "CALL")))

    @cached_property
    def delete_switches(self) -> frozenset[int]:
        """The numbers of the block-delete switches that lines of the program depend on."""
        return frozenset(item.switch for item in self.code if isinstance(item, JumpIfDeleted))

    @property
    def delete_settings(self) -> list[frozenset[int]]:
        """Every combination of these switches, all off first; of more than :data:`MANY_SWITCHES` only some."""
        numbers = sorted(self.delete_switches)
        sizes = range(len(numbers) + 1) if len(numbers) <= MANY_SWITCHES else (0, 1, len(numbers))
        return [frozenset(chosen) for size in sizes for chosen in combinations(numbers, size)]

    def jumps_to_labels(self) -> Iterator[tuple[int, GoTo]]:
        return ((at, item) for at, item in enumerate(self.code) if isinstance(item, GoTo))
