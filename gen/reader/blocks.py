"""One block, executed in the order of NIST IR 6556, table "Order of Execution" (section cited from memory)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal, TypeAlias, cast

from gen.base.errors import listed
from gen.control.tables import LOSSES
from gen.plan.step import ROTARY, UNKNOWN, Aux, Coolant, Dwell, End, Move, Register, Stop, Unclear, Write
from gen.reader import frames, motion
from gen.reader.dwells import dwell_seconds
from gen.reader.expressions import value_of
from gen.reader.failure import Alarm, NotUnderstood, Undecided
from gen.reader.modal import Modal
from gen.reader.operators import Formula, Value
from gen.reader.program import Block
from gen.reader.sorting import ENDINGS, SETTING, SHIFTING, SPINDLE, Sorted, sorter_of
from gen.reader.unknown import Unknown
from gen.reader.variables import Memory, as_number

Outcome: TypeAlias = Literal["", "refused", "end"]

_FUNCTIONS = (
    *("synchronise", "override_lock", "override_free", "stick_low", "dress_left_out"),
    *("feeder_on", "feeder_off", "feeder_retracted"),
)
"""Switches that a dress asks after by their meaning."""

CENTRE = "IJKR"
TAKEN = {"path": "PQ", "compensation": "DH", "tool_length": "H", "spindle_mode": "D"}
"""What belongs to a mode, and is of no concern."""


def vouch(key: Literal["known", "unchanged"], name: str) -> str:
    """What would help where it is not known what the word or the program ``name`` does."""
    leaves = "leaves modes, positions, spindle and coolant as they were"
    if key == "unchanged":
        leaves = "leaves everything as it found it"
    return f"; put {name} under [host] {key} in the machine file if it {leaves}"


class BlockRun:
    """One block while it acts. ``words`` are those no code has claimed yet; a value of None is not known."""

    __slots__ = ("block", "complained", "given", "line", "modal", "sorted", "variables", "words")

    def __init__(self, modal: Modal, variables: Memory, block: Block) -> None:
        self.modal = modal
        self.variables = variables
        self.block = block
        self.line = block.line
        self.words: dict[str, float | None] = {}
        self.given: dict[str, str] = {}
        self.complained = False

    def run(self) -> Outcome:
        """Executes the block. :class:`Alarm` where the control would stop."""
        modal, block, line = self.modal, self.block, self.line
        for message in block.messages:
            modal.message = (line, message) if message else None
        if block.assignments:
            rules = modal.control.variables
            late = rules is not None and rules.late_assignment
            found = self._sorted() if late else None
            if self._assign():
                return "refused"
            found = found or self._sorted()
        else:
            found = self._sorted()
        self.sorted = found
        if self.variables.read:
            modal.read(line, self.variables.read, self.variables.unknown)
            self.variables.read.clear()
        self._begin()
        for code in found.idle:
            modal.step(Aux(line, code))
        if found.effects:
            self._effects()
        if found.feeds:
            self._feed_and_speed()
        for name, code in found.switches:
            self._switch(name, code)
        if "dwell" in found.once:
            self._dwell()
        for group in found.modes:
            self._mode(group)
        if found.acts or modal.active or modal.modes["feed_mode"] == "inverse-time":
            try:
                self._set_and_move()
            except NotUnderstood as error:
                self._unread(str(error))
        for letter in found.taken:
            self.words.pop(letter, None)
        if self.words and any(len(word) > 1 for word in self.words):
            self._addresses()
        if (
            found.effects
            and len(block.words) > 1
            and any("modes" in effect.loses or word in found.builders for word, effect in found.effects)
        ):
            # nor is it known whether such a word acts before the others of its line or behind them
            self._effects()
        if self.words and not self.complained:
            self._unread(f"no code of this line takes {listed(self.words, 'and')}")
        return self._ending() if found.endings else ""

    def _addresses(self) -> None:
        """Addresses of several letters, which no code of the line takes."""
        modal, lexis = self.modal, self.modal.control.lexis
        for word in [word for word in self.words if len(word) > 1]:
            name, _, axis = word.partition("[")
            if word.endswith("=") and word[0] in lexis.indexed:
                value = self.words.pop(word)
                modal.step(Aux(self.line, word + ("?" if value is None else f"{value:g}")))
            elif lexis.axis_addresses.get(name) == "moves":
                axis = axis.rstrip("]")
                modal.unmodelled(self.line, self.line, f"{word} moves {axis} in a way of its own")
                modal.forget([axis])
                modal.move(Move("feed", self.line, dict(modal.position), None, (axis,), modal.frame()))
                del self.words[word]
            elif name in lexis.axis_addresses or word in lexis.idle_addresses:
                del self.words[word]

    def _unread(self, why: str) -> None:
        self.complained = True
        self.modal.unread(self.line, why)

    def _assign(self) -> bool:
        """Carries the assignments out; True if one of them was an alarm."""
        rules = self.modal.control.variables
        if rules is None or not self.block.assignments:
            return False
        late: list[tuple[Register, Value]] = []
        for target, code in self.block.assignments:
            register = target if isinstance(target, (int, str)) else as_number(value_of(target, self.variables))
            value = value_of(code, self.variables)
            if isinstance(register, str) and rules.is_in_own_table(register):
                self._set_own(register)
                continue
            if register == rules.pause:
                self._pause()
                continue
            if register == rules.alarm:
                self.modal.refuse(self.line, next(iter(self.block.messages + self.block.comments), ""))
                return True
            if rules.late_assignment:
                late.append((register, value))
            else:
                self._write(register, value)
        for register, value in late:
            self._write(register, value)
        return False

    def _set_own(self, name: str) -> None:
        """A variable of the control's own is written, which may be part of what coordinates count from."""
        self.modal.unmodelled(self.line, self.line, f"{name} is written: a variable of the control's own state")
        self.modal.lose_offsets()
        self.modal.step(Unclear(self.line, "write", name))

    def _pause(self) -> None:
        """Stops with a message; cycle start goes on."""
        modal, message = self.modal, next(iter(self.block.messages + self.block.comments), "")
        modal.stood_under = (self.line, message) if message else None
        modal.step(Stop(self.line))

    def _write(self, register: Register, value: Value) -> None:
        modal = self.modal
        modal.read(self.line, self.variables.read, self.variables.unknown)
        self.variables.read.clear()
        self.variables.set(register, value)
        modal.note_system(self.line, register, "written")
        if not modal.reports(register):
            return
        if value is None:
            modal.unmodelled(self.line, self.line, f"the variable {register} is emptied")
        elif isinstance(value, Unknown):
            modal.unknown(self.line, f"what {register} is given", value.what)
            modal.step(Unclear(self.line, "write", str(register)))
        else:
            modal.step(Write(self.line, register, value))

    def _sorted(self) -> Sorted:
        """The words sorted and worked out; a word whose value is empty is as if it were not there."""
        words, found = self.block.words, self.block.sorted
        if found is not None and found.numbers:
            self.words = cast("dict[str, float | None]", found.words.copy())
            return found
        values = [value_of(word.value, self.variables) for word in words]
        if found is None or any(value is None for value in values):
            sorter = sorter_of(self.modal.control)
            there = [(word, value) for word, value in zip(words, values, strict=True) if value is not None]
            lost = {word.letter: value for word, value in there if isinstance(value, Unknown)}
            for word, given in there:
                if word.letter in sorter.codes and isinstance(given, (Unknown, Formula)):
                    raise Undecided(given.what if isinstance(given, Unknown) else "a register")
            # a value that is not known is none that a code could want beside it
            found = sorter.sort([word._replace(value=math.nan if isinstance(v, Unknown) else v) for word, v in there])
            self.words = cast("dict[str, float | None]", found.words.copy())
            self._lose(lost)
            return found
        for word, value in zip(words, values, strict=True):
            if word.letter in found.words and value is not None and not isinstance(value, Unknown):
                self.words.setdefault(word.letter, value)  # of a letter that stands twice, the first counts
        self._lose({word.letter: v for word, v in zip(words, values, strict=True) if isinstance(v, Unknown)})
        return found

    def _lose(self, unknown: Mapping[str, Unknown]) -> None:
        """The values of these words are not known."""
        for letter, value in unknown.items():
            self.words[letter] = None
            self.modal.unknown(self.line, letter, value.what)

    def _effects(self) -> None:
        """What the words of the block do beside what their tables say."""
        for word, effect in self.sorted.effects:
            for name in effect.does:
                self._switch(name, word)
            if effect.loses:
                remedy = vouch("known", word) if word in self.sorted.builders else ""
                self.modal.lose(self.line, effect.loses, word, remedy)
            if "variables" in effect.loses:
                self.variables.lose(word)
            if effect.says:
                self.modal.unmodelled(self.line, self.line, f"{word}: {effect.says}")
            for first, last in effect.sets:
                self.variables.lose(word, range(first, last + 1))

    def _begin(self) -> None:
        """What sorting found wrong, and what words without a decimal point come to."""
        found = self.sorted
        for why in found.complaints:
            self._unread(why)
        if found.given:
            self.given = dict(found.given)
        if found.pointless and "dwell" not in found.once:
            for letter in found.pointless:
                self._size(letter)

    def _size(self, letter: str) -> None:
        """Settles a word without a decimal point, which a control may count in its last decimal place."""
        numbers, lengths = self.modal.control.numbers, self.modal.control.axes + CENTRE
        value = self.words.get(letter, 0.0)
        if not value or letter not in lengths + "F":
            return
        if numbers.point == "scaled":
            units = self.given.get("units", self.modal.modes["units"])
            if units == UNKNOWN:
                self.words[letter] = None
                return
            inch = units == "inch"
            places = numbers.inch if inch else numbers.mm
            count = places.feed if letter == "F" else numbers.angle if letter in ROTARY else places.length
            self.words[letter] = value / 10.0**count
        elif numbers.point == "always" and letter in lengths:
            what = f"{letter}{value:g} has no decimal point: some controls count in the last decimal place"
            self.modal.unmodelled(self.line, self.line, what)

    def _feed_and_speed(self) -> None:
        modal, line = self.modal, self.line
        mode = self.given.pop("feed_mode", None)
        if mode is not None:
            if modal.control.feed_lost == "stated":
                modal.feed = 0.0
            elif mode != modal.modes["feed_mode"]:
                modal.feed = None
            modal.change(line, "feed_mode", mode)
        for letter in "FS":
            value = self.words.get(letter)
            if value is not None and value < 0:
                raise Alarm("F and S cannot be negative")
        waiting = "dwell" in self.sorted.once and "F" in modal.control.dwell.units
        if "F" in self.words and not waiting:
            units = self.given.get("units")
            if units is not None and (units != modal.modes["units"] or "units" not in modal.lines):
                modal.unmodelled(line, line, "F and the word for its length unit share a line: which acts first varies")
            modal.set_feed(line, self.words.pop("F"))
        surface = self.given.get("spindle_mode", modal.modes.get("spindle_mode", "off"))
        if "S" not in self.words:
            return
        # a surface speed turns the wheel at what its diameter asks for
        speed = self.words.pop("S")
        modal.speed = speed if surface == "off" else None
        modal.change(line, "speed", UNKNOWN if modal.speed is None else f"{modal.speed:.10g}")
        turned = [name for name, _ in self.sorted.switches if name in SPINDLE]
        if not turned and modal.direction != "off":
            modal.turn(line)

    def _switch(self, name: str, code: str) -> None:
        """What the switch ``name`` does, which ``code`` spells."""
        modal, line = self.modal, self.line
        if name in SPINDLE:
            modal.direction = SPINDLE[name]
            modal.change(line, "spindle", modal.direction)
            modal.turn(line)
        elif name in ("coolant_on", "coolant_off"):
            modal.change(line, "coolant", name.removeprefix("coolant_"))
            modal.mist = modal.mist and name == "coolant_on"
            modal.step(Coolant(line, name == "coolant_on"))
        elif name not in ENDINGS:
            modal.mist = modal.mist or name == "mist_on"
            if name in ("override_lock", "override_free"):
                modal.change(line, "override", name.removeprefix("override_"))
            modal.step(Aux(line, code, name.replace("_", "-") if name in _FUNCTIONS else ""))

    def _dwell(self) -> None:
        units = self.modal.control.dwell.units
        found = [letter for letter in units if letter in self.words]
        if len(found) != 1:
            self._unread(f"a dwell wants one of the words {', '.join(units)}")
            return
        letter, value = found[0], self.words.pop(found[0])
        if value is None:
            self.modal.step(Unclear(self.line, "dwell"))
            return
        if value < 0:
            raise Alarm("a dwell cannot be negative")
        seconds = dwell_seconds(letter, value, self.modal.control, pointless=letter in self.sorted.pointless)
        if seconds is None:
            said = f"{letter}{value:g} has no decimal point: some controls count thousandths of a second"
            self.modal.unmodelled(self.line, self.line, said)
            self.modal.step(Unclear(self.line, "dwell"))
            return
        self.modal.step(Dwell(self.line, seconds))

    def _mode(self, group: str) -> None:
        name = self.given.pop(group, None)
        if name is None:
            return
        modal, line = self.modal, self.line
        modal.change(line, group, name)
        meanings = modal.control.groups[group]
        if "off" in meanings:
            if name == "off":
                modal.switch_off(group, line)
            else:
                modal.switch_on(group, line, f"{meanings[name]} ({group.replace('_', ' ')})")
        if self.words:
            for letter in (*TAKEN.get(group, ""), *modal.control.beside.get(meanings[name], "")):
                self.words.pop(letter, None)

    def _axes(self) -> dict[str, float | None]:
        """Takes the axis words, in the order written."""
        axes = self.modal.control.axes
        return {letter: self.words.pop(letter) for letter in list(self.words) if letter in axes}

    def _set_and_move(self) -> None:
        modal, line = self.modal, self.line
        if "unknown" in self.sorted.once:
            self._note_motion()
            modal.forget(word.letter for word in self.block.words if word.letter in modal.control.axes)
            return
        if self.sorted.bends:
            self._axes()
            modal.bend(line, self.sorted.bends)
            return
        if self.sorted.signal:
            self._until_signal(self.sorted.signal)
            return
        if "shift" in self.given:
            frames.end_shift(modal, line, self.given.pop("shift"))
        setting = self.sorted.once & {"set_home", "set_second_home"}
        if setting:
            frames.set_home(modal, self.variables, second="set_home" not in setting)
        acting = self.sorted.once & {"home", "second_home", *SETTING}
        if not acting:
            self._move(line)
            return
        axes = self._axes()
        if "set_offset" in acting:
            frames.set_offset(modal, line, axes, self.words)
        elif how := next((word for word in SHIFTING if word in acting), ""):
            frames.set_shift(modal, line, axes, how)
        else:
            frames.go_home(modal, line, axes, self.variables, second="home" not in acting)
        self._note_motion()

    def _counts(self, letter: str, how: str) -> bool:
        """Whether the value of ``letter`` says that it counts ``how``; takes that out of the words."""
        return self.words.pop(f"{letter}:{how}", None) is not None

    def _called_by_each_move(self) -> None:
        """A program that was named before runs behind this move."""
        word = self.modal.control.word("macro", "on")
        self.modal.step(Aux(self.line, word))
        self.modal.lose(self.line, LOSSES, f"the program that {word} calls behind each move")
        self.variables.lose(f"the program that {word} calls")

    def _until_signal(self, code: str) -> None:
        """The axes move until a signal comes, so that nobody knows where they end."""
        modal, line, axes = self.modal, self.line, self._axes()
        if not axes:
            raise NotUnderstood(f"{code} wants axis words")
        if "motion" not in self.given and any(effect.ends_motion for _, effect in self.sorted.effects):
            modal.modes.pop("motion", None)
            modal.lines.pop("motion", None)
        said = listed(axes, "and")
        modal.unmodelled(line, line, f"{code} moves {said} until a signal comes, and where that is is not known")
        modal.forget(axes)
        rate = motion.rate_of(modal, line, None, all(axis in ROTARY for axis in axes))
        modal.move(Move("feed", line, dict(modal.position), rate, tuple(axes), modal.frame()))
        for letter in CENTRE:
            self.words.pop(letter, None)

    def _note_motion(self) -> None:
        if "motion" in self.given and self.modal.may_be("cycle"):
            self.given.setdefault("cycle", "off")
        elif self.given.get("cycle") == "off" and len(self.modal.control.groups["cycle"]) > 1:
            self.modal.modes.pop("motion", None)
            self.modal.lines.pop("motion", None)
        for group in ("cycle", "motion"):
            self._mode(group)

    def _move(self, line: int) -> None:
        modal = self.modal
        self._note_motion()
        axes = self._axes()
        for corner in modal.control.lexis.corners:
            if self.words.pop(corner, 0.0) != 0.0:
                modal.unmodelled(line, line, f"{corner} rounds or cuts the corner at the end of this move")
        if axes and "macro" in modal.active:
            modal.forget(axes)
            self._called_by_each_move()
            return
        if modal.may_be("cycle"):
            self.words.clear()
            modal.forget([*axes, *(axis for axis in modal.control.axes if axis not in ROTARY)])
            return
        how = {axis: count for axis in axes for count in ("absolute", "incremental") if self._counts(axis, count)}
        mode = modal.modes.get("motion")
        if mode in ("arc-cw", "arc-ccw"):
            centre = {letter: self.words.pop(letter) for letter in CENTRE if letter in self.words}
            if how or any(self._counts(letter, "absolute") or self._counts(letter, "incremental") for letter in centre):
                modal.forget(axes)
                raise NotUnderstood("an arc whose words count in ways of their own is not read")
            if axes or centre:
                if "machine_frame" in self.sorted.once:
                    raise NotUnderstood("an arc cannot be in machine coordinates")
                letter = modal.control.arc_turns
                turns = self.words.pop(letter) if letter in self.words else 1.0
                motion.arc(modal, line, mode, axes, centre, turns)
        elif axes:
            if mode is None or mode == UNKNOWN:
                modal.forget(axes)
                which = "no motion code is in force" if mode is None else "which motion code is in force is not known"
                raise NotUnderstood(f"axis words stand here, but {which}")
            motion.straight(modal, line, mode, axes, machine="machine_frame" in self.sorted.once, how=how)
        elif "machine_frame" in self.sorted.once:
            raise NotUnderstood("the word for machine coordinates wants axis words in its line")
        if modal.modes["feed_mode"] == "inverse-time":
            # every block wants an F of its own
            modal.feed = 0.0 if modal.control.feed_lost == "stated" else None

    def _ending(self) -> Outcome:
        modal, line = self.modal, self.line
        for name in self.sorted.endings:
            if name in ("stop", "optional_stop"):
                modal.stood_under = modal.message
                modal.step(Stop(line, name == "optional_stop"))
                continue
            refused = modal.message
            if refused is not None:
                modal.refuse(*refused)
            modal.step(End(line))
            return "refused" if refused is not None else "end"
        return ""
