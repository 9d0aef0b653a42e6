"""The program read up to the place of the dress: what is in force there, this time and at every passage."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.control.model import Control
from gen.host.onward import Unsettled
from gen.host.place import Place
from gen.host.routes import Routes
from gen.host.statements import AT_FIRST, LAST_MOVE, NEW, SHIFT, SWITCHED, TOOL, Statement, reaching, several
from gen.host.text import HostLines
from gen.host.words import axes_of, may_move_the_origin, sorted_words
from gen.plan.step import UNKNOWN, Register
from gen.reader import Lowered, Reading, ReadState, lower
from gen.reader.lexis import lexer_of
from gen.reader.operators import Value
from gen.reader.program import Block, Columns, PlainLines
from gen.reader.rereading import Rereading
from gen.reader.sorting import SETTING
from gen.reader.standing import InForce


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
    def routes(self) -> Routes:
        """Every way through :attr:`text`. :class:`DressblockError` where there is no end of them."""
        return Routes(self.lowered, -1 if self._at is None else self._at)

    @cached_property
    def reading(self) -> Reading:
        """What the program does up to the place, and behind it until it would come there again."""
        return self.read()

    def read(self, given: Mapping[Register, Value] | None = None) -> Reading:
        """As :attr:`reading`, where registers take the values ``given`` at the place."""
        return self.passages.run(self.state, given=given)

    @cached_property
    def passages(self) -> Rereading:
        """Runs of :attr:`lowered` that pass the place once, whatever the state."""
        return Rereading(self.lowered, (range(self.line, self.line + 1),), place=self._at)

    def at(self, state: ReadState) -> HostPoint:
        """The same place, read from another state; what was lowered is kept."""
        other = replace(self, state=state)
        other.__dict__.update(
            {
                name: getattr(self, name)
                for name in ("text", "lowered", "passages", "routes", "statements", "_moving", "of_others")
            }
        )
        return other

    @cached_property
    def visit(self) -> int | None:
        """The number of the step in which the place is passed; None if it never is."""
        found = self.reading.windows
        return found[0].entry.step if found else None

    @cached_property
    def here(self) -> InForce:
        """What is in force where the place is first passed."""
        return self.reading.windows[0].entry.in_force

    @property
    def in_front(self) -> int:
        """The line of the file in front of the place; the first one where there is none."""
        return max(self.place.in_file(self.place.after), 1)

    def in_file(self, line: int) -> int:
        """The number in the file of a line of :attr:`text`."""
        return self.place.in_file(line if line < self.line else line - 1)

    def stated_at(self, group: str) -> int:
        """The line of the file that set ``group`` as it is at the place; that of the place where none did."""
        return self.in_file(self.here.lines.get(group, self.line))

    def words(self, group: str) -> dict[str, str]:
        """The words, as written, of the line that set ``group`` at the place: letter to what stands behind it."""
        line = self.here.lines.get(group)
        if line is None or self.here.get(group) == UNKNOWN:
            return {}
        return words_of(self.control, self.text.line(line))

    # -- every way to the place

    @cached_property
    def _at(self) -> int | None:
        """The instruction that is the place; None if the text around it could not be lowered that far."""
        for at, item in enumerate(self.lowered.code):
            if isinstance(item, Block) and item.line == self.line:
                return at
        return None

    @cached_property
    def statements(self) -> dict[str, list[Statement]]:
        """What may be in force at the place, by group, and where each axis may have been sent last."""
        control = self.control
        axes = (f"{of}{axis}" for of in ("axis ", SHIFT) for axis in control.axes)
        new = (TOOL, *(f"{NEW}{group}" for group in control.groups))
        return reaching(self.routes, (*control.groups, *SWITCHED, *axes, LAST_MOVE, *new), self.of_others)

    def several(self, group: str) -> tuple[Statement, Statement] | None:
        """Two things that ``group`` may be at the place; None if it is the same at every passage."""
        found = self.statements[group]
        if group in ("feed", "motion"):
            # with none in force nothing would move by it, but stop with an alarm
            found = [one for one in found if one.value]
        if group == "feed" and len(found) > 1 and several(self.statements["units"]):
            return found[0], found[-1]
        return several(found)

    @cached_property
    def unsettled(self) -> frozenset[Unsettled]:
        """The words that cannot be put back: they are not the same at every passage, or nowhere written as one word."""
        here = self.here
        found: set[Unsettled] = set()
        if self.several("motion") or here.get("motion") not in ("rapid", "feed"):
            found.add("motion")
        if self.several("feed") or "F" not in self.words("feed"):
            found.add("feed")
        if self.several("speed") or ("speed" in here.lines and "S" not in self.words("speed")):
            found.add("speed")
        return frozenset(found)

    @cached_property
    def is_one_run(self) -> bool:
        """Whether every run comes to the place as the one that was read: once, by what the program itself has set."""
        if self.routes.comes_again or self.routes.switched_ahead:
            return False
        blocks = (item for item in self.lowered.code if isinstance(item, Block))
        given = self.reading.unset | self.state.registers.keys()  # by whatever ran before the program
        own = {target for item in blocks for target, _ in item.assignments} - given
        return all(asked <= own for _, asked in self.routes.asking_ahead)

    def is_alike(self, axis: str) -> bool:
        """Whether ``axis`` stands at one place whenever the program comes to the dress."""
        if self.is_one_run:
            return True
        found = self.statements[f"axis {axis}"]
        if len(found) != 1 or not found[0].told:
            return False
        if found[0].line == AT_FIRST:
            return not self.routes.comes_again
        return found[0].value.startswith("machine") or (found[0].value.startswith("program") and self._counts_alike)

    @cached_property
    def _counts_alike(self) -> bool:
        """Whether the program's coordinates are absolute, and count from one place, wherever it is."""
        modes: dict[str, set[str]] = {}
        for item in self.own_blocks():
            words = sorted_words(item, self.control)
            if words is None or words.once.intersection(SETTING) or "offsets" in words.loses:
                return False
            if may_move_the_origin(item, self.control):
                return False
            for group in ("distance", "work_offset", "units", "tool_length", "shift"):
                if group in words.given:
                    modes.setdefault(group, set()).add(words.given[group])
        return all(len(found) == 1 for found in modes.values()) and "incremental" not in modes.get("distance", ())

    @cached_property
    def of_others(self) -> tuple[range, ...]:
        """The lines of :attr:`text` that belong to other dresses."""
        put = [int(one.first > self.place.after) for one in self.place.others]
        return tuple(
            range(one.first + moved, one.last + 1 + moved) for one, moved in zip(self.place.others, put, strict=True)
        )

    def is_of_others(self, line: int) -> bool:
        """Whether ``line`` of :attr:`text` belongs to another dress."""
        return any(line in lines for lines in self.of_others)

    def own_blocks(self) -> Iterator[Block]:
        """The program's own lines of words, wherever they stand; those of one plain shape aside."""
        return (item for item in self.lowered.code if isinstance(item, Block) and not self.is_of_others(item.line))

    def lines_that_move(self, axis: str) -> list[int]:
        """The program's own lines, as the file has them, with a word for ``axis``; of one shape in a row the first."""
        return [
            self.in_file(line)
            for line, axes in self._moving
            if (axes is None or axis in axes) and not self.is_of_others(line)
        ]

    @cached_property
    def _moving(self) -> list[tuple[int, tuple[str, ...] | None]]:
        """The lines of :attr:`text` that have words for axes, and which; None where that is not known."""
        found: list[tuple[int, tuple[str, ...] | None]] = []
        for item in self.lowered.code:
            if isinstance(item, Block):
                words = sorted_words(item, self.control)
                found.append((item.line, None if words is None else axes_of(words, self.control)))
            elif isinstance(item, Columns):
                found.append((item.line, item.slots.axes))
            elif isinstance(item, PlainLines):
                found += ((line, slots.axes) for line, slots, _ in item.items)
        return found


def words_of(control: Control, line: str) -> dict[str, str]:
    """Each letter of a line with the plain number behind it, as written; a letter with anything else is left out."""
    code = lexer_of(control).source(1, line).code
    rules = control.variables
    more = "" if rules is None else re.escape(rules.sigil + rules.brackets[0])
    found = re.findall(rf"(?<![A-Z])([A-Z])=?([-+]?(?:\d+\.?\d*|\.\d+))(?![\d.*/+{more}-])", code)
    return dict(reversed(found))
