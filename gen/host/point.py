"""The program read up to the place of the dress: what is in force there, and whether the place is passed just once."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

from gen.control.model import Control
from gen.host.place import Place
from gen.host.text import HostLines
from gen.plan.step import UNKNOWN, Dwell
from gen.reader import Lowered, Reading, ReadState, lower, run
from gen.reader.lexis import Lexer
from gen.reader.program import Block, Columns, GoTo, Instruction, Jump, JumpIf
from gen.reader.program import PlainLines as PlainLines
from gen.reader.standing import InForce


@dataclass(frozen=True)
class Crossing:
    """A jump at ``line`` that passes over the place; ``back``: it leads from behind the place to before it."""

    line: int
    back: bool


@dataclass(frozen=True)
class Skip:
    """A jump ahead, instruction number ``at`` on ``line``, to number ``target``."""

    at: int
    line: int
    target: int

    def over(self, at: int) -> bool:
        return self.at < at < self.target


@dataclass(frozen=True)
class HostPoint:
    """The place in the bare program, found by a line of its own, a moment's wait, that is put there and read."""

    place: Place
    control: Control
    state: ReadState = field(default_factory=ReadState)

    @property
    def line(self) -> int:
        """The line of the wait in :attr:`text`."""
        return self.place.after + 1

    @cached_property
    def text(self) -> HostLines:
        dwell = self.control.dwell
        moment = "1" if dwell.unit == "ms" else "0.001"
        return self.place.bare.with_lines(self.place.after, [f"{self.control.once['dwell']} {dwell.word}{moment}"])

    @cached_property
    def lowered(self) -> Lowered:
        return lower(self.text.text, self.control)

    @cached_property
    def reading(self) -> Reading:
        return run(self.lowered, self.state, window=(range(self.line, self.line + 1),))

    def at(self, state: ReadState) -> HostPoint:
        """The same place, read from another state; what was lowered is kept."""
        other = replace(self, state=state)
        other.__dict__["text"], other.__dict__["lowered"] = self.text, self.lowered
        return other

    @cached_property
    def visits(self) -> tuple[int, ...]:
        """The numbers of the steps in which the place is passed."""
        return tuple(
            index for index, step in enumerate(self.reading.steps) if step.line == self.line and isinstance(step, Dwell)
        )

    @cached_property
    def here(self) -> InForce:
        """What is in force where the place is first passed."""
        return self.reading.window_of(self.visits[0]).entry.in_force

    def in_file(self, line: int) -> int:
        """The number in the file of a line of :attr:`text`."""
        return self.place.in_file(line if line < self.line else line - 1)

    def words(self, group: str) -> dict[str, str]:
        """The words, as written, of the line that set ``group`` at the place: letter to what stands behind it."""
        line = self.here.lines.get(group)
        return (
            {} if line is None or self.here.get(group) == UNKNOWN else words_of(self.control, self.text.bare[line - 1])
        )

    # -- the flow around the place

    @cached_property
    def _at(self) -> int | None:
        """The instruction that is the place; None if the text around it could not be lowered that far."""
        for at, item in enumerate(self.lowered.code):
            if isinstance(item, Block) and item.line == self.line:
                return at
        return None

    @property
    def in_subprogram(self) -> bool:
        at, lowered = self._at, self.lowered
        if at is None:
            return False
        starts = set(lowered.programs.values())
        nested = any(
            isinstance(item, Jump) and index + 1 in starts and index < at < item.target
            for index, item in enumerate(lowered.code)
        )
        sections = lowered.sections
        return nested or bisect_right(sections, at) != bisect_right(sections, lowered.entry)

    def was_called(self, line: int) -> bool:
        """Whether ``line`` of :attr:`text`, behind the place, lies in a program that may have run before it."""
        if not self.visits or not any(step <= self.visits[0] for step, _ in self.reading.calls):
            return False
        code, sections = self.lowered.code, self.lowered.sections
        own = bisect_right(sections, self.lowered.entry)
        lines = [_line(code[at]) if at < len(code) else len(self.text.items) + 1 for at in (*sections, len(code))]
        others = [range(lines[at], lines[at + 1]) for at in range(len(sections)) if at + 1 != own]
        starts = (code[at - 1] for at in self.lowered.programs.values() if at)
        nested = [(item.line, item.target) for item in starts if isinstance(item, Jump)]
        others += [range(first, _line(code[end]) if end < len(code) else line + 1) for first, end in nested]
        return any(line in one for one in others)

    def crossings(self) -> Iterator[Crossing]:
        """The jumps that pass over the place."""
        at = self._at
        if at is None:
            return
        starts = set(self.lowered.programs.values())
        for index, item in enumerate(self.lowered.code):
            target = self._target(index, item)
            if target is None or (isinstance(item, Jump) and index + 1 in starts):
                continue
            if target <= at < index or index < at < target:
                yield Crossing(self.in_file(_line(item)), target <= at)

    @property
    def at_place(self) -> int | None:
        """The number of the instruction that is the place."""
        return self._at

    def skips(self) -> Iterator[Skip]:
        """The jumps ahead that leave something out."""
        starts = set(self.lowered.programs.values())
        for index, item in enumerate(self.lowered.code):
            target = self._target(index, item)
            if target is not None and target > index + 1 and not (isinstance(item, Jump) and index + 1 in starts):
                yield Skip(index, self.in_file(_line(item)), target)

    def _target(self, index: int, item: Instruction) -> int | None:
        if isinstance(item, (Jump, JumpIf)):
            return item.target
        if isinstance(item, GoTo) and isinstance(label := _constant(item), (int, str)):
            return self.lowered.find_label(label, index, item.direction)
        return None

    @property
    def wandering(self) -> int | None:
        """The line of a jump whose target is worked out when it runs; None if there is none."""
        return next(
            (
                self.in_file(item.line)
                for item in self.lowered.code
                if isinstance(item, GoTo) and _constant(item) is None
            ),
            None,
        )

    @property
    def delete_settings(self) -> list[frozenset[int]]:
        """Every combination of the block-delete switches that lines of the program depend on, all off first."""
        return self.lowered.delete_settings


def _constant(item: GoTo) -> int | str | None:
    if isinstance(item.label, str):
        return item.label
    return int(item.label) if isinstance(item.label, float) else None


def words_of(control: Control, line: str) -> dict[str, str]:
    """Each letter of a line with the plain number behind it, as written; a letter with anything else is left out."""
    code = Lexer(control).source(1, line).code
    rules = control.variables
    more = "" if rules is None else re.escape(rules.sigil + rules.brackets[0])
    found = re.findall(rf"(?<![A-Z])([A-Z])=?([-+]?(?:\d+\.?\d*|\.\d+))(?![\d.*/+{more}-])", code)
    return dict(reversed(found))


def _line(item: Instruction) -> int:
    return item.first if isinstance(item, (PlainLines, Columns)) else item.line
