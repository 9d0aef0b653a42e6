"""What the control remembers from block to block, and the record of what it did."""

from __future__ import annotations

from collections.abc import Collection, Container, Iterable, Mapping, Sequence, Set
from typing import Literal

from gen.base.dataclass import dataclass
from gen.base.errors import listed
from gen.control.tables import Loss, in_ranges
from gen.plan.step import (
    ROTARY,
    UNKNOWN,
    Direction,
    ModeChange,
    Move,
    Refuse,
    Register,
    RegisterRead,
    Spindle,
    Step,
    Unclear,
    Unread,
)
from gen.reader.failure import OutOfBudget
from gen.reader.program import Lowered
from gen.reader.reading import Budget, Reading, ReadState
from gen.reader.standing import INHERITED, InForce, Standing

_INCH = 25.4

FRAME = "frame"
"""The group that is on while coordinates may be turned or scaled."""

_MIXING = ("rotation", "polar", FRAME)
"""What may be on so that a word of one axis moves others too."""

_NEVER_ASKED = ("retract", "path")
"""Groups that decide neither where an axis goes nor how fast."""

_OTHER_MODES = ("feed", "speed", "override")
"""What is kept beside the modal groups and may be lost with them."""

_ORIGIN = ("work_offset", "tool_length", "offset", "shift")
"""Groups with which coordinates come to count from elsewhere."""

_FIXED = frozenset(("control", "reading", "budget", "_text_of", "_registers", "_first_system", "_usual_offset"))
"""What a run has from its beginning, or fills."""

ONLY_TOLD = frozenset(("line", "lines", "origin", "stood", "stood_under", "untold_feed", "_lost"))
"""What decides nothing, and is only named by findings."""

_STRAIGHT = ("tool_length", "spindle_mode", "cycle")
"""What may be active without bending the ways of the axes; a tool length and a cycle are looked at by themselves."""


@dataclass(slots=True)
class _Lost:
    """What ``line`` left unknown; ``open``: the groups and axes that nothing has stated since."""

    line: int
    why: str
    open: set[str]


class Modal:
    """Modes, positions and offsets while a program runs, and the :class:`Reading` it fills.

    Everything is kept in mm and machine coordinates. An axis missing from
    ``position`` is one whose position is not known; an offset or a shift of None
    is one that is not known either. ``homes``: reference positions that the program has set, the second if True.
    ``unsure`` are the groups of which it is not known what is in force. A ``feed`` of None is one that nothing has
    told, of 0 one that was lost; a ``speed`` of None is not known. ``message`` is the one shown since the
    last step, ``stood_under`` the one shown at the last stop.
    """

    def __init__(
        self, lowered: Lowered, state: ReadState, registers: Container[Register] | None, budget: Budget
    ) -> None:
        self.control = control = lowered.control
        self._text_of = lowered.text_of
        self.reading = Reading()
        self.budget = budget
        self._registers = registers
        rules = control.variables
        self._first_system = min((first for first, _ in rules.system), default=0) if rules is not None else 0
        self.modes = {**INHERITED, **control.defaults}
        self.lines: dict[str, int] = {}
        self.position = {axis: value + 0.0 for axis, value in state.positions.items()}
        self.offsets: dict[str, dict[str, float | None]] = {word: dict(axes) for word, axes in state.offsets.items()}
        self.offsets_lost = False
        self.shift: dict[str, float | None] = {}
        self.shift_on = False
        self.shift_is_local = False
        self.homes: dict[bool, dict[str, float]] = {}
        self.feed: float | None = None
        self.feed_scale = 1.0
        self.mist = False
        self.origin = 0
        self.stood: dict[str, tuple[str, int | None]] = dict.fromkeys(self.position, ("machine", None))
        self.untold_feed: tuple[int, int] | None = None
        self.speed: float | None = 0.0
        self.direction: Direction | Literal["unknown"] = "off"
        self.message: tuple[int, str] | None = None
        self.stood_under: tuple[int, str] | None = None
        self.active: dict[str, tuple[int, str]] = {}
        self.unsure: set[str] = set()
        self._lost: dict[str, _Lost] = {}
        self.line = 0
        self._usual_offset = self.modes["work_offset"] = control.usual_offset

    @property
    def scale(self) -> float:
        """mm in one length unit."""
        return _INCH if self.modes["units"] == "inch" else 1.0

    def scale_of(self, axis: str) -> float:
        return 1.0 if axis in ROTARY else self.scale

    def offset_of(self, axis: str) -> float | None:
        """What turns a programmed coordinate into a machine coordinate; None: not known."""
        if axis not in ROTARY and (self.may_be("tool_length") or self.is_bent):
            return None
        offset = self.work_offset_of(axis)
        if not self.shift_on or offset is None:
            return offset
        shift = self.shift.get(axis, 0.0)
        return None if shift is None else offset + shift

    def work_offset_of(self, axis: str) -> float | None:
        if "work_offset" in self.unsure:
            return None
        usual = None if self.offsets_lost else 0.0
        return self.offsets.get(self.offset_word(), {}).get(axis, usual)

    @property
    def is_bent(self) -> bool:
        """Whether something is on with which linear axes end elsewhere than their words say, such as a rotation."""
        on: Collection[str] = self.active
        if self.unsure:
            on = {*on, *(group for group in self.unsure if "off" in self.control.groups.get(group, ()))}
        return bool(on) and any(group not in _STRAIGHT for group in on)

    @property
    def mixes_axes(self) -> bool:
        """Whether a word of one linear axis may move others too."""
        return any(self.may_be(group) for group in _MIXING) if self.active or self.unsure else False

    def may_be(self, group: str) -> bool:
        """Whether ``group``, which is not modelled, is on, or nobody knows."""
        return group in self.active or group in self.unsure

    def is_unclear(self, axis: str, frame: str) -> bool:
        """Whether a word of ``axis`` in ``frame`` may count in one unit or another, or be a step or not."""
        if not self.unsure:
            return False
        return (axis not in ROTARY and "units" in self.unsure) or (frame != "machine" and "distance" in self.unsure)

    def coordinate(self, axis: int) -> float | None:
        """Where the axis of that number stands, as the program would write it; None: not known."""
        rules = self.control.variables
        name = "" if rules is None else rules.axis_order[axis]
        if self.is_unclear(name, "machine"):
            return None
        at, offset = self.position.get(name), self.offset_of(name)
        return None if at is None or offset is None else (at - offset) / self.scale_of(name)

    def is_mode(self, mode: str) -> float | None:
        """1 if ``mode``, as group.meaning, is in force, else 0; None: not known."""
        group, _, meaning = mode.partition(".")
        return None if group in self.unsure else float(self.modes.get(group) == meaning)

    @property
    def is_sure(self) -> bool:
        """Whether nothing is lost that has not been stated again."""
        return not self._lost and not self.unsure

    def snapshot(self, but: Set[str] = frozenset()) -> dict[str, object]:
        """All that is remembered now ``but`` those of these names; what is on record is no part of it."""
        left_out = _FIXED | but
        return {name: _copy(value) for name, value in vars(self).items() if name not in left_out}

    def restore(self, snapshot: Mapping[str, object]) -> None:
        """All is remembered as it was at ``snapshot``, which was made while :attr:`is_sure`."""
        for name, value in snapshot.items():
            setattr(self, name, _copy(value))

    def offset_word(self) -> str:
        """The word of the work offset in force."""
        name = self.modes["work_offset"]
        return self.control.groups.get("work_offset", {}).get(name, name)

    def frame(self) -> str:
        """What axis words are measured in, as :class:`gen.plan.step.Move` says it; a step if that is not known."""
        if self.modes["distance"] != "absolute":
            return "incremental"
        return self.work_frame()

    def work_frame(self) -> str:
        """What axis words are measured in where they are no steps."""
        return "work" if self.modes["work_offset"] == self._usual_offset else self.offset_word()

    def step(self, step: Step) -> None:
        """Records ``step``. A message not followed by the program end was only a remark."""
        self.message = None
        steps = self.reading.steps
        steps.append(step)
        if len(steps) > self.budget.steps:
            steps.pop()
            raise OutOfBudget(f"this program does more than {self.budget.steps} things; the reading stops here")

    def change(self, line: int, group: str, value: str) -> None:
        """Records that ``group`` was given ``value`` at ``line``."""
        if group in _ORIGIN and (group in ("offset", "shift") or self.modes.get(group) != value):
            self.origin += 1
        self.modes[group] = value
        self.lines[group] = line
        if self._lost and value != UNKNOWN:
            self._state(group)
        self.reading.changes.append(ModeChange(len(self.reading.steps), line, group, value))

    def read(self, line: int, registers: Iterable[Register], unknown: Collection[Register]) -> None:
        """Records that ``registers`` were read; the values of those among ``unknown`` are the control's own."""
        at = len(self.reading.steps)
        for register in registers:
            self.reading.reads.append(RegisterRead(at, line, register))
            if register in unknown:
                self.note_system(line, register, "read")

    def reports(self, register: Register) -> bool:
        return self._registers is None or register in self._registers

    def note_system(self, line: int, register: Register, how: str) -> None:
        """A variable that mirrors the control's own state is named, not worked out."""
        rules = self.control.variables
        if rules is None or (isinstance(register, int) and register < self._first_system):
            return
        if register == rules.pause:
            return
        if rules.is_own(register):
            self.unmodelled(line, line, f"{rules.spelled(register)} is {how}: a variable of the control's own state")
        if how == "written" and in_ranges(register, rules.frames):
            self.lose_offsets()

    def unknown(self, line: int, what: str, depends: str) -> None:
        """Records that ``what`` counts at ``line`` and ``depends`` on a value that cannot be known."""
        self.unmodelled(line, line, f"{what} depends on {depends}, which is not known")

    def turn(self, line: int) -> None:
        """Records that the spindle is told its speed or its sense."""
        if self.direction == "off":
            self.step(Spindle(line, 0.0, "off"))
        elif self.speed is None or self.direction == "unknown":
            self.step(Unclear(line, "spindle", self.direction))
        else:
            self.step(Spindle(line, self.speed, self.direction))

    def lose(self, line: int, what: Sequence[Loss], word: str, remedy: str = "") -> None:
        """``what`` is not known any more since ``word`` at ``line``; ``remedy`` says what would help."""
        lost: list[str] = []
        if "axes" in what:
            lost += self.control.axes
            self.position.clear()
        if "spindle" in what:
            lost.append("spindle")
            self.direction = UNKNOWN
        if "coolant" in what:
            lost.append("coolant")
        if "modes" in what:
            groups = {**INHERITED, **self.control.groups}
            lost += [*groups, *_OTHER_MODES]
            self.unsure.update(group for group in groups if group not in _NEVER_ASKED)
            self.feed = self.speed = None
        for group in lost:
            if group not in self.control.axes:
                self.change(line, group, UNKNOWN)
        if "offsets" in what:
            self.lose_offsets()
            self.shift_on = True
        why = f"{word} may act on {listed(what, 'and')}, and what is so behind it is not known{remedy}"
        self._note_lost(_Lost(line, why, set(lost)))

    def bend(self, line: int, word: str) -> None:
        """Coordinates may be turned or scaled from ``line`` until the shift is cancelled."""
        self.switch_on(FRAME, line, f"{word} (what coordinates count from)")
        self.change(line, "shift", "set")

    def lose_offsets(self) -> None:
        """What coordinates count from is not known any more."""
        self.origin += 1
        self.offsets_lost = True
        self.offsets.clear()
        self.shift.update(dict.fromkeys(self.control.axes))

    def _note_lost(self, lost: _Lost) -> None:
        """Keeps ``lost`` until all of it has been stated; what was lost before and is lost again counts here."""
        for name in lost.open:
            self._state(name, lost.line, known=False)
            self._lost[name] = lost
        if not lost.open:
            self.reading.lost.append((lost.line, lost.line, lost.why))

    def _state(self, name: str, line: int | None = None, *, known: bool = True) -> None:
        """``name``, a group or an axis, was stated, or is lost once more."""
        if known:
            self.unsure.discard(name)
        lost = self._lost.pop(name, None)
        if lost is not None:
            lost.open.discard(name)
            until = self.line if line is None else line
            if not lost.open and line != lost.line:
                self.reading.lost.append((lost.line, until, lost.why))

    def unread(self, line: int, why: str) -> None:
        self.reading.unread.append(Unread(line, self._text_of(line)[:200], why))

    def unmodelled(self, first: int, last: int, what: str) -> None:
        if (first, last, what) not in self.reading.unmodelled[-20:]:
            self.reading.unmodelled.append((first, last, what))

    def switch_on(self, group: str, line: int, what: str) -> None:
        """Something not modelled is on from ``line`` until ``group`` is off."""
        self.active.setdefault(group, (line, what))

    def switch_off(self, group: str, line: int) -> None:
        if group in self.active:
            first, what = self.active.pop(group)
            self.unmodelled(first, line, what)

    def forget(self, axes: Iterable[str]) -> None:
        """The positions of ``axes`` are no longer known."""
        for axis in axes:
            self.position.pop(axis, None)

    def set_feed(self, line: int, value: float | None) -> None:
        """The feed is ``value`` from ``line`` on; None: one that is not known."""
        self.close_untold_feed()
        if "units" in self.unsure:
            value = None
        self.feed, self.feed_scale = value, self.scale
        unit = 1.0 if self.modes["feed_mode"] == "inverse-time" else self.scale
        self.change(line, "feed", UNKNOWN if value is None else f"{value * unit:.10g}")

    def feeds_untold(self, line: int) -> None:
        """Records that something moves at ``line`` at a feed that nothing has told."""
        first = line if self.untold_feed is None else self.untold_feed[0]
        self.untold_feed = first, line

    def close_untold_feed(self) -> None:
        if self.untold_feed is not None:
            self.unmodelled(*self.untold_feed, "a move at a feed that the program has not told")
            self.untold_feed = None

    def finish(self) -> Reading:
        """Closes what is open and hands the reading over."""
        self.close_untold_feed()
        for first, what in self.active.values():
            self.reading.unmodelled.append((first, self.line, what))
        for lost in {id(lost): lost for lost in self._lost.values()}.values():
            self.reading.lost.append((lost.line, self.line, lost.why))
        self.reading.modes = {group: (value, self.lines.get(group)) for group, value in self.modes.items() if value}
        return self.reading

    def refuse(self, line: int, message: str) -> None:
        self.step(Refuse(line, message))

    def move(self, move: Move) -> None:
        self.position = dict(move.to)
        self.stand(move.axes, move.frame)
        self.step(move)

    def stand(self, axes: Iterable[str], frame: str) -> None:
        """Notes that ``axes`` were told where to stand in ``frame``; a step leaves open what it began from."""
        for axis in axes:
            if self._lost and axis in self.position:
                self._state(axis)
            if frame != "incremental":
                self.stood[axis] = frame, self.origin
            elif axis not in self.stood:
                self.stood[axis] = "", self.origin

    def in_force(self) -> InForce:
        """What is in force now."""
        axes = {
            axis: Standing(self.position.get(axis), frame, frame == "machine" or origin in (None, self.origin))
            for axis, (frame, origin) in self.stood.items()
        }
        steps = self.reading.steps
        earlier = (steps[at] for at in range(len(steps) - 1, -1, -1))
        last = next((one for one in earlier if isinstance(one, Move)), None)
        return InForce(dict(self.modes), dict(self.lines), self.mist, axes, last)

    def keep_within_budget(self) -> None:
        """:class:`OutOfBudget` once more was noted than steps can want. Asked once a line."""
        if self.noted() > 4 * self.budget.steps:
            raise OutOfBudget(f"this program says more than {4 * self.budget.steps} things; the reading stops here")

    def noted(self) -> int:
        """How many things beside steps are on record."""
        found = self.reading
        return len(found.changes) + len(found.reads) + len(found.unread) + len(found.unmodelled) + len(found.lost)

    def room_for(self, lines: int) -> bool:
        """Whether the budget holds so many plain lines: a step each, and a feed and a motion code at most."""
        return (
            len(self.reading.steps) + lines <= self.budget.steps and self.noted() + 2 * lines <= 4 * self.budget.steps
        )


def _copy(value: object) -> object:
    """``value``, with dictionaries and sets of its own."""
    if isinstance(value, dict):
        return {key: _copy(one) for key, one in value.items()}
    return set(value) if isinstance(value, set) else value
