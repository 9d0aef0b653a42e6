"""Whether a program does what its plan says, at every state that its registers can be in."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from typing import Literal, NamedTuple

from gen.base.dataclass import dataclass
from gen.plan.node import Plan
from gen.plan.step import Aux, Coolant, Dwell, End, Move, Refuse, Register, Spindle, Step, Stop, Write
from gen.reader.all_states.formulas import NotFollowed, difference
from gen.reader.all_states.paths import Path, every_path
from gen.reader.all_states.planned import Planned
from gen.reader.all_states.run import Excerpt, run_on
from gen.reader.all_states.told import Told
from gen.reader.reading import Ending, Reading, ReadState

_TOLERANCE = 1e-6
"""mm, mm/min, s, rpm. How far a formula may be from the plan's, anywhere in the states that its path accepts."""

_NOT_STATED = ("motion", "feed", "speed", "spindle", "coolant", "override")
"""Groups that are seen in the steps."""


@dataclass(frozen=True)
class WrittenPlan:
    """What a program must do: ``plan``, and how it is written.

    ``scratch``: its working variables. ``shown``: a message of the plan as it stands in a program. ``ends``: how its
    text must end where it has not refused. ``opens``: it goes on behind the plan with an ending of its own, which
    puts back what stood around it, and is the same in every state.
    """

    plan: Plan
    scratch: tuple[int, int]
    shown: Callable[[str], str]
    ends: Ending
    opens: bool = False


class Difference(NamedTuple):
    """Where a program parts from its plan, in words; ``broken``, or ``unproven`` where it cannot be told."""

    line: int | None
    message: str
    certainty: Literal["broken", "unproven"]
    passes: bool = False
    """Whether it goes on where the plan refuses."""

    def outweighs(self, other: Difference) -> bool:
        """Whether this is the one to tell of two at a line."""
        return (self.certainty == "broken", self.passes) > (other.certainty == "broken", other.passes)


def differences_from_plan(
    part: Excerpt,
    expected: WrittenPlan,
    *,
    axes: Iterable[str] = (),
    offsets: Mapping[str, Mapping[str, float]] | None = None,
) -> list[Difference]:
    """Where ``part`` parts from the plan, one for each line; nothing is the proof that it never does.

    ``axes``: those whose position counts from where they stand; ``offsets``: work offset word to axis to mm.
    """
    found: dict[int | None, Difference] = {}
    tails: list[tuple[object, ...]] = []

    def on(path: Path) -> list[Difference]:
        state = ReadState(positions={axis: path.position(axis) for axis in axes}, offsets=offsets or {})
        try:
            return list(_Comparison(path, part, expected, state, tails).differences())
        except NotFollowed as reason:
            said = f"{reason}; whether the block is right at every wheel and stick is not proven."
            return [Difference(path.line or None, said, "unproven")]

    try:
        for _, parted in every_path(on):
            for one in parted:
                known = found.get(one.line)
                if known is None or one.outweighs(known):
                    found[one.line] = one
    except NotFollowed as reason:
        found.setdefault(None, Difference(None, f"{reason}.", "unproven"))
    return list(found.values())


class _Said:
    """What a run states and reads between its steps; ``registers`` are those whose reading counts.

    ``modes`` are those stated so far, by group, ``lines`` where; ``read`` the registers read since the last step.
    """

    def __init__(self, run: Reading | Planned, registers: Set[Register]) -> None:
        self._changes = [change for change in run.changes if change.group not in _NOT_STATED]
        self._reads = [read for read in run.reads if read.register in registers]
        self._change = self._read = 0
        self.modes: dict[str, str] = {}
        self.lines: dict[str, int] = {}
        self.read: dict[Register, int] = {}

    def up_to(self, step: int) -> _Said:
        """This, gone on to before step number ``step``."""
        while self._change < len(self._changes) and self._changes[self._change].step <= step:
            change = self._changes[self._change]
            self.modes[change.group], self.lines[change.group] = change.value, change.line
            self._change += 1
        if self.read:
            self.read = {}
        while self._read < len(self._reads) and self._reads[self._read].step <= step:
            self.read[self._reads[self._read].register] = self._reads[self._read].line
            self._read += 1
        return self


class _Comparison:
    """The program and its plan, side by side on one path."""

    def __init__(
        self, path: Path, part: Excerpt, expected: WrittenPlan, state: ReadState, tails: list[tuple[object, ...]]
    ) -> None:
        self._path = path
        self._expected = expected
        self._tails = tails
        self._reading: Reading = run_on(path, part, state, expected.scratch)
        self._last = path.line
        # what is not understood around a block, whatever the state, is no matter of the block's
        self._static, self._whole = frozenset(part.lowered.unread), part.whole
        path.line, path.asks = 0, False
        self._plan = Planned(expected.plan, path, part.lowered.control, state)
        self._told = Told(path, expected.plan)
        self._ours, self._theirs = (_Said(run, self._told.registers) for run in (self._reading, self._plan))

    def differences(self) -> Iterator[Difference]:
        """The first thing in which the two part, if there is one, and whatever else is not known."""
        reading = self._reading
        for entry in reading.unread:
            if entry in self._static:
                if self._whole:
                    yield Difference(entry.line, f"{entry.why.removesuffix('.')}.", "unproven")
                    return
            else:
                yield self._unproven(entry.line, f"{entry.why.removesuffix('.')}")
                return
        for first, _, what in [*reading.unmodelled, *reading.lost]:
            yield self._unproven(first, f"{what}; what it does here is not worked out")
            return
        if reading.end == "budget":
            yield self._unproven(self._last, "this goes on too long to be followed")
            return
        steps, wanted = reading.steps[: _over(reading.steps)], self._plan.steps[: _over(self._plan.steps)]
        for at, (ours, theirs) in enumerate(zip(steps, wanted, strict=False)):
            if parted := self._parted(at, ours, theirs):
                yield parted
                return
        ended = bool(wanted) and isinstance(wanted[-1], (Refuse, End))
        if len(steps) < len(wanted):
            what = self._told.step(wanted[len(steps)])
            yield self._broken(self._line_of_end(wanted[len(steps)]), f"the program ends here and should {what}")
        elif ended or not self._expected.opens:
            yield from self._nothing_more(len(wanted), ended)
        else:
            yield from self._same_ending(len(wanted))

    # -- one step

    def _parted(self, at: int, ours: Step, theirs: Step) -> Difference | None:
        if not _alike(ours, theirs):
            line, does = ours.line, self._told.does(ours)
            if isinstance(theirs, Refuse):
                line = self._told.last_asked(self._plan.asked, line)
                does = f"the program goes on to {self._told.step(ours)} at line {ours.line}"
            elif isinstance(ours, Refuse):
                line = self._told.decided_before(line)
            told = self._broken(line, f"{does}; the recipe wants it to {self._told.step(theirs)}")
            return told._replace(passes=isinstance(theirs, Refuse))
        if isinstance(ours, Refuse) and isinstance(theirs, Refuse):
            shown = _bare(self._expected.shown(theirs.message))
            if _bare(ours.message) != shown:
                others = {_bare(self._expected.shown(message)) for message in self._told.messages}
                passed = _bare(ours.message) in others
                line = self._told.last_asked(self._plan.asked, ours.line) if passed else ours.line
                return self._broken(line, f'the message is "{ours.message}"; the recipe wants "{shown}"')
        if parted := self._before(at, ours.line):
            return parted
        for what, one, other in _numbers(ours, theirs):
            if parted := self._other_number(ours, what, one, other):
                return parted
        return None

    def _other_number(self, step: Step, what: str, one: float | None, other: float | None) -> Difference | None:
        if one is other or (type(one) is float and type(other) is float and one == other):
            return None
        if one is None or other is None:
            return None if one is other else self._unproven(step.line, f"{what} is not known here")
        apart = difference(one, other)
        low, high = self._path.bounds(apart)
        near = 0.0 if isinstance(step, Write) else _TOLERANCE
        if -near <= low and high <= near:
            return None
        told = self._told.values(apart, one, other)
        if not told:
            said = f"{what} is another formula than the recipe's; no state was found that tells them apart"
            return Difference(step.line, f"{said}.", "unproven")
        return Difference(step.line, f"{what} comes to {told}.", "broken")

    def _before(self, at: int, line: int) -> Difference | None:
        """What is stated and read between the step before number ``at`` and it."""
        ours, theirs = self._ours.up_to(at), self._theirs.up_to(at)
        if ours.modes != theirs.modes:
            group = next(key for key in (*ours.modes, *theirs.modes) if ours.modes.get(key) != theirs.modes.get(key))
            said = self._told.mode(group, ours.modes.get(group), theirs.modes.get(group))
            return self._broken(ours.lines.get(group, line), said)
        if ours.read.keys() != theirs.read.keys():
            register = min(ours.read.keys() ^ theirs.read.keys(), key=str)
            name = self._told.register(register)
            more = register in ours.read
            said = f"{name} is read here and the recipe does not" if more else f"{name} should have been read by here"
            return self._broken(ours.read.get(register, line), said)
        return None

    # -- the end

    def _nothing_more(self, done: int, ended: bool) -> Iterator[Difference]:
        """The program is over where the plan is, and stays so."""
        for step in self._reading.steps[done:]:
            if ended and isinstance(step, (Refuse, End, Stop)):
                continue
            refused = ended and isinstance(self._plan.steps[done - 1], Refuse)
            before = "once it has refused" if refused else "after its end"
            yield self._broken(step.line, f"{self._told.does(step)} {before}")
            return
        if ended:
            return
        if parted := self._before(done, self._last):
            yield parted
        elif self._reading.end != self._expected.ends:
            yield self._broken(self._last, _ENDS[self._expected.ends])

    def _same_ending(self, done: int) -> Iterator[Difference]:
        """What the block ends with is nothing that depends on a register, nor moves."""
        steps = self._reading.steps[done:]
        for step in steps:
            numbers = [value for _, value, _ in _numbers(step, step)]
            fixed = all(isinstance(value, float) for value in numbers)
            if isinstance(step, (Move, Write, Refuse, Stop, End)) or not fixed or _feeder(step):
                yield self._broken(step.line, f"{self._told.does(step)} after the dress")
                return
        if self._reading.end != self._expected.ends:
            yield self._broken(self._last, _ENDS[self._expected.ends])
            return
        changes = [(change.step - done, change.group, change.value) for change in self._reading.changes]
        behind = tuple(change for change in changes if change[0] >= 0)
        self._tails.append((tuple(step._replace(line=0) for step in steps), behind))
        if self._tails[-1] != self._tails[0]:
            yield self._broken(self._last, "what the block leaves behind is not the same at every wheel and stick")

    # -- said

    def _line_of_end(self, missing: Step) -> int:
        return self._told.decided_before(self._last) if isinstance(missing, Refuse) else self._last

    def _broken(self, line: int, said: str) -> Difference:
        where = self._told.where()
        return Difference(line or None, f"{said}{where.text}.", "broken" if where.sure else "unproven")

    def _unproven(self, line: int, said: str) -> Difference:
        return Difference(line or None, f"{said}{self._told.where().text}.", "unproven")


_ENDS: dict[Ending, str] = {
    "return": "the subprogram does not return where it should",
    "end": "the program does not end where it should",
    "text": "the block does not end where its text does",
}


def _over(steps: Sequence[Step]) -> int:
    """How many of ``steps`` are done before the program is over, the refusal or end among them."""
    return next((at + 1 for at, step in enumerate(steps) if isinstance(step, (Refuse, End))), len(steps))


def _alike(ours: Step, theirs: Step) -> bool:
    """Whether the two do the same, the numbers aside."""
    match ours, theirs:
        case Move(), Move():
            same = (ours.op, ours.axes, ours.frame) == (theirs.op, theirs.axes, theirs.frame)
            return same and ours.to.keys() == theirs.to.keys()
        case Spindle(), Spindle():
            return ours.direction == theirs.direction
        case Coolant(), Coolant():
            return ours.on == theirs.on
        case Write(), Write():
            return ours.register == theirs.register
        case Aux(), Aux():
            return ours.function == theirs.function and (bool(ours.function) or ours.code == theirs.code)
        case Stop(), Stop():
            return ours.optional == theirs.optional
    return type(ours) is type(theirs)


def _numbers(ours: Step, theirs: Step) -> Iterator[tuple[str, float | None, float | None]]:
    """What the numbers of two steps that are alike stand for, and the numbers."""
    match ours, theirs:
        case Move(), Move():
            for axis in ours.to:
                yield f"the position of {axis}", ours.to[axis], theirs.to[axis]
            if ours.rate is not theirs.rate:
                yield "the feed", ours.rate, theirs.rate
        case Dwell(), Dwell():
            yield "the wait", ours.seconds, theirs.seconds
        case Spindle(), Spindle():
            yield "the speed", ours.rpm, theirs.rpm
        case Write(), Write():
            yield f"register {ours.register}", ours.value, theirs.value


def _feeder(step: Step) -> bool:
    return isinstance(step, Aux) and step.function.startswith("feeder-on")


def _bare(message: str) -> str:
    return " ".join(message.upper().split())
