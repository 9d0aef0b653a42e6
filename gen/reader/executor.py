"""Runs a lowered program: follows its flow, hands its blocks on, keeps its budgets."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence, Set
from itertools import chain

from gen.control.tables import LOSSES
from gen.plan.step import Aux, Refuse, Register, Stop, Unread
from gen.reader import plain
from gen.reader.blocks import BlockRun, Outcome, vouch
from gen.reader.expressions import Code, numeric_value, value_of
from gen.reader.failure import Alarm, OutOfBudget, Undecided
from gen.reader.jumps import nowhere
from gen.reader.modal import Modal
from gen.reader.operators import Value
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
    SetOwn,
)
from gen.reader.reading import Budget, Ending, Halt, Reading, ReadState
from gen.reader.rounds import Rounds
from gen.reader.unknown import Unknown
from gen.reader.variables import RETURNED, Memory, as_number
from gen.reader.window import ON_RECORD, OpenCall, Snapshot, Window


def run(
    lowered: Lowered,
    state: ReadState | None = None,
    *,
    registers: Set[Register] | None = None,
    past_stops: bool = False,
    budget: Budget | None = None,
    window: Sequence[range] = (),
) -> Reading:
    """What ``lowered`` does from ``state``. Never raises: what goes wrong stands in the reading.

    ``registers``: those whose writes become steps (None: all). ``past_stops``:
    goes on behind refusals and program ends too, as someone who presses cycle
    start again would. ``window``: lines that belong together; the reading tells
    what was known whenever the run came to them and when it left them.
    """
    return Execution(lowered, state or ReadState(), registers, past_stops, budget or Budget(), window=window).run()


class Execution:
    """One run of a lowered program; ``variables``: where its values come from, by default what ``state`` holds."""

    def __init__(
        self,
        lowered: Lowered,
        state: ReadState,
        registers: Container[Register] | None,
        past_stops: bool,
        budget: Budget,
        variables: Memory | None = None,
        window: Iterable[range] = (),
    ) -> None:
        self._lowered = lowered
        self._modal = Modal(lowered, state, registers, budget)
        self._variables = Memory(lowered.control, state) if variables is None else variables
        self._variables.where = self._modal.coordinate
        self._variables.is_mode = self._modal.is_mode
        self._past_stops = past_stops
        self._state = state
        self._budget = budget
        self._at = lowered.entry
        self._calls: list[OpenCall] = []
        self.window = tuple(window)
        one = len(self.window) == 1
        self._window_lines = self.window[0] if one else frozenset(chain.from_iterable(self.window))
        self._is_inside = False
        self._jumps = 0
        self._stops = 0
        self._jumps_back = Rounds(self._modal, self._variables)
        self._stops_met = Rounds(self._modal, self._variables, every=True)
        self._shown: tuple[int, str] | None = None
        self._scoped = lowered.control.flow.o_words is not None
        self._beside: int | None = None

    def run(self) -> Reading:
        ending = self._end()
        if self._is_inside:
            self._modal.reading.windows[-1].leaving = self._moment()
        reading = self._modal.finish()
        reading.end = ending
        reading.unset = frozenset(self._variables.unset)
        reading.unread = self._all_unread(reading.unread)
        if reading.halt is not None:
            reading.halt = reading.halt._replace(unread=self._all_unread(reading.halt.unread))
        return reading

    def _all_unread(self, met: Iterable[Unread]) -> list[Unread]:
        """What was ``met`` unread on the way, and what is unread whatever the way, in order of lines."""
        return sorted(dict.fromkeys([*self._lowered.unread, *met]), key=lambda entry: entry.line)

    def _end(self) -> Ending:
        """Runs, and how that ends."""
        try:
            return self._follow()
        except OutOfBudget as error:
            self._cut(Unread(self._modal.line, "", str(error)))
            return "budget"
        except Undecided as error:
            self._note_reads()
            why = f"where the program goes on depends on {error}, which is not known; the rest is not read"
            self._cut(Unread(self._modal.line, self._lowered.text_of(self._modal.line)[:200], why))
            return "unknown"

    def _cut(self, why: Unread) -> None:
        self._modal.reading.cut = why
        self._modal.reading.unread.append(why)

    def _follow(self) -> Ending:
        if self._lowered.too_long:
            raise OutOfBudget(f"this text is longer than {self._budget.text} characters and was not read")
        code = self._lowered.code
        while self._at < len(code):
            item = code[self._at]
            self._at += 1
            if self._state.others:
                self._pass_by(item.line)
            try:
                ending = self._do(item)
            except Alarm as alarm:
                ending = self._alarm(alarm)
            self._modal.keep_within_budget()
            if ending is not None:
                return ending
        return "text"

    def _pass_by(self, line: int) -> None:
        """The run comes to ``line``; a plain move, which asks for no register, may tell so late."""
        inside = (one.number for one in self._lowered.dresses if one.first <= line <= one.last)
        number = next((one for one in inside if one in self._state.others), None)
        if number == self._beside:
            return
        self._variables.take_back()
        self._beside = number
        if number is not None:
            self._cross(line)  # the window, if it ends here, leaves what was not lent
            self._variables.lend(self._state.others[number])

    def _alarm(self, alarm: Alarm) -> Ending | None:
        """Records that the control stops here."""
        self._variables.read.clear()
        self._modal.unread(self._modal.line, f"the control stops here: {alarm}")
        return self._halted("refused")

    def _halted(self, ending: Ending) -> Ending | None:
        """The run comes to an ``ending``; past stops it is noted where that was first, and it goes on."""
        if not self._past_stops:
            return ending
        reading = self._modal.reading
        reading.halt = reading.halt or Halt(ending, len(reading.steps), tuple(reading.unread))
        return None

    def _do(self, item: Instruction) -> Ending | None:
        """One instruction; says how the run ended, if it did."""
        modal = self._modal
        if isinstance(item, PlainRow):
            return self._parts(item) if self.window else self._lines(item)
        if self.window:
            self._cross(item.line)
        modal.line = item.line
        match item:
            case Block():
                return self._block(item)
            case JumpIf():
                if (self._number(item.condition) != 0) == item.when:
                    self._jump(item.target)
            case Jump():
                self._jump(item.target)
            case JumpIfDeleted():
                if self._deleted(item):
                    self._at = item.target
            case GoTo():
                label = item.label if isinstance(item.label, str) else as_number(self._number(item.label))
                place = self._lowered.find_label(label, self._at - 1, item.direction)
                if place is None:
                    raise Alarm(nowhere(label))
                self._jump(place)
            case SetOwn():
                value = self._number(item.value)
                self._variables.set(item.name, float(round(value)) if item.whole else value)
            case Comment():
                return self._comment(item)
            case Call():
                self._call(item)
            case Return():
                return self._return(item)
            case EndOfText():
                return "text"
        return None

    def _deleted(self, item: JumpIfDeleted) -> bool:
        """Whether the block-delete switch takes out the line of ``item``."""
        return self._state.deletes(item.switch)

    def _parts(self, lines: PlainRow) -> Ending | None:
        """As :meth:`_lines`, in stretches that lie inside the window or outside of it."""
        for part in lines.cut(sorted(edge for one in self.window for edge in (one.start, one.stop))):
            self._cross(part.line)
            ending = self._lines(part)
            if ending is not None:
                return ending
        return None

    def _cross(self, line: int) -> None:
        """Notes what is known if the run comes into the window with ``line``, or leaves it."""
        inside = line in self._window_lines
        if inside == self._is_inside:
            return
        self._is_inside = inside
        moment, windows = self._moment(), self._modal.reading.windows
        if inside:
            windows.append(Window(moment, moment))
        else:
            windows[-1].leaving = moment

    def _moment(self) -> Snapshot:
        """What is known now, without what only decides how the run goes on."""
        modal = self._modal
        return Snapshot(
            {name: len(getattr(modal.reading, name)) for name in ON_RECORD},
            modal.in_force(),
            self._variables.snapshot(),
        )

    def _lines(self, lines: PlainRow) -> Ending | None:
        modal = self._modal
        if plain.run_plain(modal, lines):
            modal.line = lines.last
            return None
        for line, slots, values in lines.items:
            modal.line = line
            block = plain.as_block(modal.control, line, slots, values)
            try:
                ending = self._block(block)
            except Alarm as alarm:
                ending = self._alarm(alarm)
            modal.keep_within_budget()
            if ending is not None:
                return ending
        return None

    def _block(self, block: Block) -> Ending | None:
        steps = self._modal.reading.steps
        before = len(steps)
        outcome: Outcome = BlockRun(self._modal, self._variables, block).run()
        if not outcome:
            held = len(steps) > before and isinstance(steps[-1], Stop)
            if held:
                self._stops += 1
                if self._stops > self._budget.stops:
                    raise OutOfBudget(f"this program stops more than {self._budget.stops} times; it may never end")
            return "refused" if held and self._stands_still() else None
        if self._halted(outcome):
            return outcome
        last = steps[before - 1] if before else None
        looping = isinstance(last, Refuse) and isinstance(steps[-1], Refuse) and last == steps[-1]
        return outcome if looping else None

    def _stands_still(self) -> bool:
        """Whether the stop that is the last step is the one before it again; the two become one refusal.

        The same stop met with nothing done in between is met for ever; what the operator was shown then is the
        message of a refusal. :class:`OutOfBudget` if no message was shown.
        """
        found = self._modal.reading
        *before, stop = found.steps[-2:]
        if not isinstance(stop, Stop) or stop.optional:
            return False
        told = len(found.changes), len(found.unread), len(found.unmodelled)
        comes_round = self._stops_met.come_round(lambda: (*self._place(), *told))
        if before != [stop] or not comes_round:
            self._shown = self._modal.stood_under
            return False
        if self._shown is None:
            raise OutOfBudget("this program stands at this stop for ever, and shows no message")
        found.steps.pop()
        found.steps.pop()
        found.steps.append(Refuse(*self._shown))
        return True

    def _place(self) -> tuple[object, ...]:
        """Where the run is, and all it has to remember."""
        return self._at, *self._calls

    def _comment(self, comment: Comment) -> Ending | None:
        if comment.acts:
            self._modal.unmodelled(comment.line, comment.line, f'the comment "{comment.acts[:60]}" does something')
        if comment.stops is None:
            return None
        self._modal.refuse(comment.line, comment.stops)
        return self._halted("refused")

    def _number(self, code: Code) -> float:
        """What ``code`` comes to. :class:`Undecided` if that is not known."""
        value = numeric_value(code, self._variables)
        self._note_reads()
        if isinstance(value, Unknown):
            raise Undecided(value.what)
        return value

    def _note_reads(self) -> None:
        if self._variables.read:
            self._modal.read(self._modal.line, self._variables.read, self._variables.unknown)
            self._variables.read.clear()

    def _jump(self, target: int) -> None:
        if target < self._at:
            self._count()
            if self._jumps_back.come_round(lambda: (target, *self._place())):
                raise OutOfBudget(
                    "this program goes round here for ever: nothing that decides changes from one round to the next"
                )
        self._at = target

    def _count(self) -> None:
        self._jumps += 1
        if self._jumps > self._budget.jumps:
            limit = self._budget.jumps
            raise OutOfBudget(f"this program jumps back or calls more than {limit} times; it may never end")

    def _call(self, call: Call) -> None:
        name = call.name if isinstance(call.name, str) else str(as_number(self._number(call.name)))
        program, times = self._lowered.called(name)
        if times is not None:
            said = f"{name} is read as program {program}, {times} times; where numbers may be longer it is another one"
            self._modal.unmodelled(call.line, call.line, said)
        start = self._lowered.programs.get(program)
        if start is None:
            self._elsewhere(call.line, program)
            return
        rounds = as_number(self._number(call.repeat)) if times is None else times
        if rounds < 1:
            return
        if len(self._calls) >= self._budget.depth:
            raise OutOfBudget(f"subprograms call each other more than {self._budget.depth} deep; they may never return")
        self._count()
        self._modal.reading.calls.append((len(self._modal.reading.steps), call.line))
        if call.scoped:
            arguments: dict[Register, Value] = {}
            for register, argument in call.arguments:
                arguments[register] = value_of(argument, self._variables)
            self._note_reads()
            self._variables.enter(arguments)
        self._calls.append(OpenCall(self._at, start, rounds - 1, call.scoped))
        self._at = start

    def _elsewhere(self, line: int, name: str) -> None:
        """A program that stands in another text runs, of which nobody knows what it does."""
        modal = self._modal
        modal.step(Aux(line, f"call of {name}"))
        if name in self._lowered.unchanged:
            return
        modal.lose(line, LOSSES, f"program {name}, which is not in this text,", vouch("unchanged", name))
        self._variables.lose(f"program {name}")

    def _return(self, item: Return) -> Ending | None:
        value = None if item.value is None else numeric_value(item.value, self._variables)
        self._note_reads()
        if not self._calls:
            return "return"
        call = self._calls.pop()
        if call.rounds:
            self._calls.append(call._replace(rounds=call.rounds - 1))
            self._count()
            self._at = call.start
            return None
        self._at = call.back
        if call.scoped:
            self._variables.leave()
        if self._scoped:
            handed = (0.0 if value is None else value, float(value is not None))
            for register, held in zip(RETURNED, handed, strict=True):
                self._variables.set(register, held)
        return None
