"""The proof that the program goes on after the dress as it did without it.

Two readings show what the dress leaves as it was, and where they agree up to the next passage; what it leaves
otherwise is followed on every way behind the place, so that it holds at every passage.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.base.errors import listed
from gen.base.finding import Finding
from gen.host.onward import Left, Onward, against_registers, asks_for
from gen.host.point import HostPoint, words_of
from gen.host.refusals import WITH_WORDS
from gen.host.restore import feed_words
from gen.host.said import broken
from gen.host.statements import at_first
from gen.host.text import HostLines
from gen.plan.step import Aux, Move, Register, Step, Unclear, Write, is_same
from gen.plan.told import step_told
from gen.reader import Reading
from gen.reader.operators import Value
from gen.reader.reading import UNFINISHED
from gen.reader.standing import ACTIVE_SHIFT, InForce
from gen.shop.dress import Dress

_NEAR = 1e-6
"""mm, mm/min. Two ways of arithmetic to one place."""


@dataclass(frozen=True, eq=False)
class Proof:
    """The place in the program without the dress, and the ``text`` with it, read from the same state.

    The lines of ``text`` that belong to the dress are the reading's window.
    """

    point: HostPoint
    text: HostLines
    reading: Reading
    dress: Dress

    def findings(self) -> Iterator[Finding]:
        """What does not go on as it did. Nothing is the proof."""
        span = self._span()
        if span is None:
            yield self._changed("the dress is never reached, or stops the program before it does anything.")
            return
        if parted := self._parted_before(span):
            yield self._changed(f"what comes before the dress reads otherwise with it: {parted}.")
            return
        point = self.point
        after = self.reading.window_of(span.stop - 1).leaving.in_force
        yield from self._modes(point.here, after)
        yield from self._said_by_the_way(span)
        displaced = self._displaced(span, after)
        yield from self._onward(displaced, span)
        yield from self._goes_on(self._without(span), span, displaced)

    def _parted_before(self, span: range) -> str:
        """Where the program parts from itself in front of the place; empty if it does not."""
        visit = self.point.visit
        assert visit is not None
        for was, now in self.point.reading.beside(range(visit), self.reading, range(span.start)):
            if not _is_one(was, now):
                return f"{step_told(was)} against {step_told(now)}"
        return "" if visit == span.start else f"{visit} steps against {span.start}"

    def _onward(self, displaced: set[str], span: range) -> Iterator[Finding]:
        """What depends on something that the dress leaves otherwise, at any passage and on any way behind it."""
        point, here = self.point, self.point.here
        steps = (self.reading.steps[index] for index in span)
        written = {step.register for step in steps if isinstance(step, Write)}
        asked = {register for _, registers in point.routes.asking_behind for register in registers}
        results = frozenset(self._given(span)).difference(written).intersection(asked)
        left = Left(frozenset(displaced), point.unsettled, results, here.get("distance"), here.get("motion"))
        for finding in (*Onward(point.routes).follow(left), *against_registers(point.routes, written, point.of_others)):
            yield replace(finding, line=None if finding.line is None else point.in_file(finding.line))

    def _without(self, span: range) -> Reading:
        """The program without the dress, in which the registers that it writes change at the place all the same."""
        given = self._given(span)
        return self.point.read(given) if asks_for(self.point.routes.asking_behind, given) else self.point.reading

    def _given(self, span: range) -> dict[Register, Value]:
        """The variables that the dress leaves otherwise, and what they hold then."""
        window = self.reading.window_of(span.stop - 1)
        before, after = window.entry.variables[0], window.leaving.variables[0]
        return {register: value for register, value in after.items() if before.get(register) != value}

    def _changed(self, message: str, line: int | None = None) -> Finding:
        return broken("host-unchanged", self.point.in_front if line is None else self.point.in_file(line), message)

    def _span(self) -> range | None:
        """The steps of the dress; None, where it does nothing in this reading."""
        visits = self.reading.visits
        return range(visits[0].start, visits[-1].stop) if visits else None

    # -- what is in force afterwards

    def _modes(self, before: InForce, after: InForce) -> Iterator[Finding]:
        control = self.point.control
        for group in dict.fromkeys([*before.modes, *after.modes]):
            rest = at_first(control, group)
            was, now = before.get(group) or rest, after.get(group) or rest
            if group == "shift":
                same = (was in ACTIVE_SHIFT) == (now in ACTIVE_SHIFT)
            elif group in ("motion", "feed", "speed"):
                # where nothing can be put back, the steps that follow tell whether anything hung on it
                same = (
                    was == now or not was or was.startswith("arc") or (group == "feed" and not feed_words(self.point))
                )
                same = same or group in self.point.unsettled
                same = same or (group == "speed" and before.get("spindle", "off") == "off")
            else:
                same = was == now
            if not same:
                name = group.replace("_", " ")
                yield self._changed(f"{name} was {was or 'not set'} and is {now} after the dress.")
            elif group in before.lines and self._other_words(group, after):
                word = control.groups[group][was]
                yield self._changed(f"{word} has other words beside it after the dress than before.")
        if before.mist != after.mist:
            yield self._changed(f"mist was {'on' if before.mist else 'off'} before the dress and is not after it.")

    def _other_words(self, group: str, after: InForce) -> bool:
        letters = WITH_WORDS.get(group, "")
        if not letters or group not in after.lines:
            return False
        was = self.point.words(group)
        now = words_of(self.point.control, self.text.line(after.lines[group]))
        return any(was.get(letter) != now.get(letter) for letter in letters)

    def _said_by_the_way(self, span: range) -> Iterator[Finding]:
        """Words of the dress that act on something nobody follows, and so cannot be put back."""
        known = {word for word in self.point.control.known if not word.startswith("M")}
        for index in span:
            step = self.reading.steps[index]
            if isinstance(step, Aux) and step.code in known:
                yield self._changed(f"the dress says {step.code}, and what was in force before it is not put back.")

    # -- what is done afterwards

    @cached_property
    def _own(self) -> set[str]:
        """The stick's own axis, if the program never moves it."""
        plunge = self.dress.dresser.way
        return set() if self.point.lines_that_move(plunge) else {plunge}

    def _displaced(self, span: range, after: InForce) -> set[str]:
        """The axes that stand elsewhere than they did, the stick's own aside if the program never moves it."""
        before = self.point.here.axes
        inside = [step for index in span if isinstance(step := self.reading.steps[index], Move)]
        axes = {axis for step in inside for axis in step.axes}
        axes -= self._own
        return {
            axis
            for axis in axes
            if (was := before[axis].at if axis in before else None) is None
            or (now := after.axes[axis].at) is None
            or abs(was - now) > _NEAR
            or not self.point.is_alike(axis)
        }

    def _goes_on(self, reading: Reading, span: range, displaced: set[str]) -> Iterator[Finding]:
        """Whether what follows this passage, up to the next one, is what ``reading`` does there without the dress."""
        assert self.point.visit is not None
        without = range(self.point.visit + 1, len(reading.steps))
        spliced = range(span.stop, len(self.reading.steps))
        for was, now in reading.beside(without, self.reading, spliced):
            if not (isinstance(was, Move) and isinstance(now, Move)):
                if not _is_one(was, now):
                    said = f"{step_told(was)} against {step_told(now)}"
                    yield self._changed(f"here the program does something else after the dress: {said}.", was.line)
                    return
                continue
            if reason := _moves_otherwise(was, now, displaced, self._own):
                yield self._changed(f"here the program moves otherwise after the dress: {reason}.", was.line)
                return
            if now.frame != "incremental":
                displaced = displaced - set(now.axes)
        if reading.end != self.reading.end:
            yield self._changed("the program ends otherwise with the dress than without it.")
        elif len(without) != len(spliced) and reading.end not in UNFINISHED:
            yield self._changed("the program does more, or less, after the dress than without it.")


def _is_one(was: Step, now: Step) -> bool:
    """Whether two steps are the same, of programs that begin alike: what is not known is then the same in both."""
    return is_same(was, now) or (isinstance(was, Unclear) and was[1:] == now[1:])


def _moves_otherwise(was: Move, now: Move, displaced: set[str], own: set[str]) -> str:
    """How ``now`` is another move than ``was``, the axes aside that stand elsewhere; empty if it is the same."""
    if (was.op, was.axes, was.frame) != (now.op, now.axes, now.frame):
        one, other = (f"{move.op} of {listed(move.axes, 'and')} ({move.frame})" for move in (was, now))
        return f"{one} becomes {other}"
    if (was.rate is None) != (now.rate is None) or abs((was.rate or 0.0) - (now.rate or 0.0)) > _NEAR:
        return f"its feed was {_feed(was.rate)} and is {_feed(now.rate)}"
    arrived = displaced - set(was.axes) if was.frame != "incremental" else displaced
    for axis in dict.fromkeys([*was.to, *now.to]):
        if axis in arrived or axis in own:
            continue
        a, b = was.to.get(axis), now.to.get(axis)
        if a is None or b is None:
            if a is not b and axis not in displaced:
                return f"where {axis} goes is known in one of the two only"
        elif abs(a - b) > _NEAR:
            return f"{axis} went to {a:.4f} and goes to {b:.4f}"
    return ""


def _feed(rate: float | None) -> str:
    return "not told" if rate is None else f"{rate:g} mm/min"
