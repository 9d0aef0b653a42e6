"""Whether anything that follows a dress depends on what the dress left otherwise, by every way that follows it.

What the dress leaves otherwise is the place of the axes that it moved, and
sometimes a word that the program did not have alike at every passage. Each way
is followed until it has moved each of these axes to a place that its own words
say, and stated each of these words anew.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import field, replace
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import listed
from gen.base.finding import Finding
from gen.control.model import Control
from gen.control.tables import in_ranges
from gen.host.routes import Asking, Routes, Spot, closure, ends, is_elsewhere
from gen.host.said import unproven
from gen.host.words import axes_of, sorted_words
from gen.plan.step import Register
from gen.reader.asked import registers_in, registers_of
from gen.reader.blocks import CENTRE
from gen.reader.program import Block, Call, Instruction, PlainRow, Return
from gen.reader.sorting import SPINDLE, Sorted
from gen.reader.variables import RETURNED

Unsettled: TypeAlias = Literal["motion", "feed", "speed"]

_STRAIGHT = ("tool_length", "spindle_mode")
"""Groups of which a mode that is not off leaves an axis where its own words say."""

_SAID: dict[Unsettled, tuple[str, str]] = {
    "motion": ("motion code", "a motion code"),
    "feed": ("feed", "an F"),
    "speed": ("spindle speed", "an S"),
}


@dataclass(frozen=True)
class Left:
    """What the dress has left otherwise, and no line has put right so far.

    ``axes`` stand where the dress left them; ``words`` are not what they were; ``results`` are variables that words
    of the dress have set. ``distance`` and ``motion`` are the program's own modes. ``told``: a rapid that starts from
    there was told of.
    """

    axes: frozenset[str]
    words: frozenset[Unsettled]
    results: frozenset[Register]
    distance: str
    motion: str
    told: bool = False

    @property
    def moves_otherwise(self) -> bool:
        """Whether a line that asks for no variable may still do something else."""
        return bool(self.axes or self.words)

    @property
    def nothing(self) -> bool:
        """Whether all is put right."""
        return not self.moves_otherwise and not self.results


@dataclass
class Onward:
    """Follows every way behind the place and collects findings, at the lines of the text that was read."""

    routes: Routes
    findings: dict[int, Finding] = field(default_factory=dict)

    @property
    def control(self) -> Control:
        return self.routes.lowered.control

    def follow(self, left: Left) -> Iterator[Finding]:
        """What depends on something that the dress has ``left`` otherwise."""
        closure([(later, left) for spot in self.routes.places for later in self.routes.after(spot)], self._then)
        yield from (self.findings[line] for line in sorted(self.findings))

    def _then(self, reached: tuple[Spot, Left]) -> list[tuple[Spot, Left]]:
        spot, left = reached
        now = self._through(spot, left)
        return [] if now is None else [(later, now) for later in self.routes.after(spot)]

    def _through(self, spot: Spot, left: Left) -> Left | None:
        """What is still left behind the piece at ``spot``; None where the program ends or a line depends on it."""
        for at in self.routes.piece(spot):
            item = self.routes.lowered.code[at]
            if at == self.routes.place:
                return None  # the dress comes again, and begins anew
            if at in self.routes.gaps and left.moves_otherwise:
                self._tell(self.routes.gaps[at], f"what this does is not known, and {self._why(left)}.")
                return None
            now = self._behind(item, left)
            if now is None or now.nothing or ends(self.routes.lowered, item):
                return None
            left = now
        return left

    def _behind(self, item: Instruction, left: Left) -> Left | None:
        if isinstance(item, PlainRow):
            if not left.moves_otherwise:
                return left
            now: Left | None = left
            for line, slots, _ in item.items:
                if now is None or now.nothing:
                    return now
                if slots.feed:
                    now = replace(now, words=now.words - {"feed"})
                if slots.motion is not None:
                    now = replace(now, motion=slots.motion, words=now.words - {"motion"})
                now = self._move(line, now, slots.axes, machine=False)
            return now
        if self._asks_for_left(item, left):
            return None
        if isinstance(item, Call) and left.moves_otherwise and self._runs_elsewhere(item, left):
            return None
        if left.results:
            left = replace(left, results=left.results.difference(_set_by(item)))
        return self._block(item, left) if isinstance(item, Block) and left.moves_otherwise else left

    def _asks_for_left(self, item: Instruction, left: Left) -> bool:
        """Whether ``item`` asks for what the dress has left otherwise: a place, a word, a result."""
        rules = self.control.variables
        for register in registers_of(item, self.control):
            if rules is not None and register is not None and (why := self._left_in(register, left)):
                said = f"this depends on {rules.spelled(register)}, which may be another value after a dress."
                self._tell(item.line, f"{said} {why}.", rule="host-unchanged")
                return True
        return False

    def _left_in(self, register: Register, left: Left) -> str:
        """Why ``register`` may tell something that is not as it was, and what would help; empty if it does not."""
        rules = self.control.variables
        word = None if rules is None else rules.tells.get(str(register).partition("[")[0])
        if left.axes and _tells_place(register, left.axes, self.control):
            return f"{_stand(left.axes)}; {_OFFER}"
        if word in left.words:
            return f"{_not_alike({word}).capitalize()}; write {_SAID[word][1]} in front of this line"
        return "Set it again behind the place" if register in left.results else ""

    def _runs_elsewhere(self, item: Call, left: Left) -> bool:
        """Whether ``item`` calls a program that is not in this text, and that may depend on what is left."""
        lowered = self.routes.lowered
        here = isinstance(item.name, str) and lowered.called(item.name)[0] in lowered.programs
        if here or not (left.axes or is_elsewhere(lowered, item)):
            return False
        self._tell(item.line, f"this calls a program that is not in this text, and {self._why(left)}; {_OFFER}.")
        return True

    def _block(self, item: Block, left: Left) -> Left | None:
        found, line = sorted_words(item, self.control), item.line
        if found is None or "unknown" in found.once or found.complaints:
            self._tell(line, f"what this does is not known, and {self._why(left)}.")
            return None
        if found.loses & {"axes", "modes", "offsets"}:
            word = listed((word for word, effect in found.effects if effect.loses), "and")
            what = listed(sorted(found.loses), "and")
            self._tell(line, f"{word} may act on {what}, and {self._why(left)}; {_OFFER}.")
            return None
        spun = any(name in SPINDLE and name != "spindle_off" for name, _ in found.switches)
        if "S" in found.words:
            left = replace(left, words=left.words - {"speed"})
        elif spun and "speed" in left.words:
            self._tell(line, f"this starts the spindle, and {_not_alike({'speed'})}.")
            return None
        if "F" in found.words and "dwell" not in found.once:
            left = replace(left, words=left.words - {"feed"})
        if "motion" in found.given:
            left = replace(left, motion=found.given["motion"], words=left.words - {"motion"})
        left = replace(left, distance=found.given.get("distance", left.distance))
        axes = axes_of(found, self.control)
        on = [group for group, mode in found.given.items() if mode != "off" and group not in _STRAIGHT]
        bent = [group for group in on if group == "cycle" or "off" in self.control.groups[group]]
        if left.axes and bent:
            what = listed((group.replace("_", " ") for group in bent), "and")
            self._tell(line, f"{what} is switched on here, and {_stand(left.axes)}; {_OFFER}.")
            return None
        return self._act(line, left, axes, found)

    def _why(self, left: Left) -> str:
        return _stand(left.axes) or _not_alike(left.words)

    def _act(self, line: int, left: Left, axes: tuple[str, ...], found: Sorted) -> Left | None:
        """What the axis words of a line do."""
        if left.axes and found.signal:
            said = f"this moves until a signal comes while {_stand(left.axes)}, on a path that was not there before"
            self._tell(line, f"{said}; {_OFFER}.")
            return None
        if "home" in found.once or "second_home" in found.once:
            return self._rapid(line, left, axes or tuple(left.axes))
        if left.axes and not found.once.isdisjoint(("set_home", "set_second_home")):
            self._tell(line, f"this keeps where the axes stand as a home, and {_stand(left.axes)}; {_OFFER}.")
            return None
        if not found.once <= {"machine_frame", "dwell"}:
            shifted = sorted(left.axes.intersection(axes))
            if shifted and ("set_offset" not in found.once or found.words.get("L") != 2.0):
                said = f"this sets what coordinates count from by where {listed(shifted, 'and')} stands"
                self._tell(line, f"{said}, and {_stand(left.axes)}; {_OFFER}.")
                return None
            return left
        if not axes and not any(letter in found.words for letter in CENTRE):
            return left
        return self._move(line, left, axes, machine="machine_frame" in found.once)

    def _move(self, line: int, left: Left, axes: tuple[str, ...], *, machine: bool) -> Left | None:
        if "motion" in left.words:
            self._tell_lacking(line, "this has no motion code of its own", "motion")
            return None
        stepped = sorted(left.axes.intersection(axes)) if left.distance == "incremental" and not machine else []
        if stepped:
            said = f"this moves {listed(stepped, 'and')} by a step, but {_stand(left.axes)}, so that it ends elsewhere"
            self._tell(line, f"{said}; {_OFFER}.")
            return None
        if left.motion == "rapid":
            return self._rapid(line, left, () if left.distance == "incremental" and not machine else axes)
        if "feed" in left.words:
            self._tell_lacking(line, "this feeds without an F of its own", "feed")
            return None
        if left.axes:
            said = f"this moves at a feed while {_stand(left.axes)}, on a path that was not there before"
            self._tell(line, f"{said}; {_OFFER}.")
            return None
        return left

    def _rapid(self, line: int, left: Left, axes: Collection[str]) -> Left:
        if left.axes and not left.told:
            said = (
                f"this rapid comes while {_stand(left.axes)}, on a path that was not there before; see that it is "
                f"clear, or {_OFFER}."
            )
            self.findings.setdefault(line, unproven("host-path", line, said, "warning"))
            left = replace(left, told=True)
        return replace(left, axes=left.axes.difference(axes))

    def _tell_lacking(self, line: int, said: str, word: Unsettled) -> None:
        helps = f"write {_SAID[word][1]} into this line, or in front of the place"
        self._tell(line, f"{said}, and {_not_alike({word})}; {helps}.")

    def _tell(self, line: int, said: str, rule: Literal["host-path", "host-unchanged"] = "host-path") -> None:
        self.findings[line] = unproven(rule, line, said)


_OFFER = "--return goes back first"


def _stand(axes: Collection[str]) -> str:
    if not axes:
        return ""
    verb, it = ("stands", "it") if len(axes) == 1 else ("stand", "them")
    return f"{listed(sorted(axes), 'and')} {verb} where the dress left {it}"


def _not_alike(words: Collection[Unsettled]) -> str:
    what = listed((_SAID[word][0] for word in sorted(words)), "and")
    return f"the {what} in force at the dress is not the same at every passage"


def _set_by(item: Instruction) -> Iterator[Register]:
    """The variables that ``item`` sets, itself or by what its words do."""
    if isinstance(item, Return):
        yield from RETURNED
    elif isinstance(item, Block):
        yield from (target for target, _ in item.assignments if isinstance(target, (int, str)))
        for _, effect in item.sorted.effects if item.sorted is not None else ():
            for first, last in effect.sets:
                yield from range(first, last + 1)


def _tells_place(register: Register, axes: Collection[str], control: Control) -> bool:
    """Whether ``register`` may tell where one of ``axes`` stands."""
    rules = control.variables
    if rules is None:
        return False
    if isinstance(register, str):
        if rules.is_in_own_table(register):
            return True
        return rules.is_own(register) and register.rpartition("_")[2].upper() in axes
    if not rules.is_own(register) or in_ranges(register, rules.frames):
        return False
    if rules.places:
        return in_ranges(register, rules.places)
    if rules.position is None:
        return True
    return any(register == rules.position + rules.axis_order.index(axis) for axis in axes if axis in rules.axis_order)


def against_registers(
    routes: Routes, written: Collection[Register], others: Collection[range] = ()
) -> Iterator[Finding]:
    """What behind the place moves or switches by a value that a dress has ``written``, or by a clock.

    ``others``: the lines of other dresses, which are right whatever their registers hold.
    """
    control = routes.lowered.control
    rules = control.variables
    if rules is None:
        return
    asking = routes.asking_behind
    changed: set[Register] = set(written)
    size = -1
    while len(changed) != size:
        size = len(changed)
        for item, _ in asking:
            for target, code in item.assignments if isinstance(item, Block) else ():
                if isinstance(target, (int, str)) and not changed.isdisjoint(registers_in(code, control)):
                    changed.add(target)
    for item, asked in asking:
        told = [one for one in asked if one is not None and str(one) in rules.counts_lines]
        if told:
            said = f"this depends on {rules.spelled(told[0])}, which tells lines; a dress has lines of its own."
            yield unproven("host-unchanged", item.line, said)
        timed = sorted(one for one in asked if isinstance(one, int) and in_ranges(one, rules.clocks))
        if timed:
            said = f"this depends on {rules.spelled(timed[0])}, which counts time; a dress takes some."
            yield unproven("host-unchanged", item.line, said)
        if not isinstance(item, Block) or any(item.line in lines for lines in others):
            continue
        for word in item.words:
            hangs = changed.intersection(registers_in(word.value, control))
            if hangs:
                yield unproven(
                    "host-unchanged",
                    item.line,
                    f"{word.letter} depends here on {rules.spelled(min(hangs, key=str))}, and so on a register "
                    "that each dress changes; use a number, or a register of the program's own.",
                )


def asks_for(asking: Iterable[Asking], registers: Collection[Register]) -> bool:
    """Whether one of those ``asking`` asks for one of ``registers``, or for one whose number is worked out."""
    return bool(registers) and any(not asked.isdisjoint({*registers, None}) for _, asked in asking)
