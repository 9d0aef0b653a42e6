"""Runs plain lines: all at once, and those in columns without writing their steps out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from gen.base.dataclass import dataclass
from gen.control.model import Control
from gen.plan.step import ROTARY, ModeChange, Move, Step
from gen.reader.modal import Modal
from gen.reader.program import Block, Columns, PlainRow, Slots
from gen.reader.spread import Spread, Stretch
from gen.reader.word import Word


def may_run(modal: Modal) -> bool:
    """Whether nothing is in force that plain lines would have to ask after."""
    return not modal.active and not modal.unsure and modal.modes["feed_mode"] == "per-minute"


@dataclass(slots=True)
class PlainRun:
    """Plain lines, and what is in force before the first of them: ``at`` its step number, the rest as in a step.

    ``scale``: mm in a unit of length; ``base`` turns a coordinate into the machine's.
    """

    lines: PlainRow
    at: int
    position: Mapping[str, float]
    motion: str | None
    rate: float | None
    scale: float
    frame: str
    base: Mapping[str, float]

    def steps(self) -> list[Step]:
        """A move for each line."""
        position, motion, rate = dict(self.position), self.motion, self.rate
        scale, frame, base = self.scale, self.frame, self.base
        incremental, as_written = frame == "incremental", scale == 1.0 and not any(base.values())
        steps: list[Step] = []
        append, new = steps.append, tuple.__new__
        for line, (stated, axes, feed), values in self.lines.items:
            if feed:
                rate = (values[-1] + 0.0) * scale
            if stated is not None:
                motion = stated
            start, position = position, position.copy()
            if incremental:
                for axis, value in zip(axes, values, strict=False):
                    if axis in start:
                        position[axis] = value * scale + start[axis]
            elif as_written and 0.0 not in values:
                position.update(zip(axes, values, strict=False))
            else:
                for axis, value in zip(axes, values, strict=False):
                    position[axis] = value * scale + base[axis]
            append(new(Move, (motion, line, position, None if motion == "rapid" else rate, axes, frame, None, None)))
        return steps

    def changes(self) -> list[ModeChange]:
        """What the lines state of feed and motion."""
        changes = []
        for at, (line, (stated, _, feed), values) in enumerate(self.lines.items, self.at):
            if feed:
                changes.append(ModeChange(at, line, "feed", f"{(values[-1] + 0.0) * self.scale:.10g}"))
            if stated is not None:
                changes.append(ModeChange(at, line, "motion", stated))
        return changes


def run_plain(modal: Modal, lines: PlainRow) -> bool:
    """Runs ``lines`` at once. False, with nothing done, if the slow tier has to."""
    if isinstance(lines, Columns):
        slots, first, count = lines.slots, (lines.stated or [lines.slots])[0], len(lines.values[0])
        axes = frozenset(slots.axes)
    else:
        first, count = lines.items[0][1], len(lines.items)
        axes = frozenset(axis for one in {slots for _, slots, _ in lines.items} for axis in one.axes)
    motion = modal.modes.get("motion")
    if first.motion is None and motion not in ("rapid", "feed"):
        return False
    if not may_run(modal) or not modal.room_for(count) or not _is_fed(modal, lines, motion):
        return False
    if (modal.scale != 1.0 or modal.feed_scale != 1.0) and not axes.isdisjoint(ROTARY):
        return False
    offsets = {axis: modal.offset_of(axis) for axis in axes}
    base = {axis: offset for axis, offset in offsets.items() if offset is not None}
    if len(base) < len(axes):
        return False
    run = PlainRun(
        lines,
        len(modal.reading.steps),
        modal.position,
        motion,
        None if modal.feed is None else modal.feed * modal.feed_scale,
        modal.scale,
        modal.frame(),
        base,
    )
    if isinstance(lines, Columns) and run.frame != "incremental":
        _defer(modal, run, lines, count)
    else:
        _do(modal, run, lines)
    modal.message = None
    return True


def _is_fed(modal: Modal, lines: PlainRow, motion: str | None) -> bool:
    """Whether a feed is told before anything moves at one, and none of 0."""
    fed = bool(modal.feed)
    if isinstance(lines, Columns):
        return 0.0 not in lines.values[-1] if lines.slots.feed else fed
    for _, slots, values in lines.items:
        motion = slots.motion or motion
        fed = bool(values[-1]) if slots.feed else fed
        if not fed and (slots.feed or motion != "rapid"):
            return False
    return True


def _defer(modal: Modal, run: PlainRun, columns: Columns, count: int) -> None:
    """Notes that ``columns`` were run, and where they end; what each line does is written out for who asks."""
    slots, stated, found = columns.slots, columns.stated, modal.reading
    steps = found.steps = found.steps if isinstance(found.steps, Spread) else Spread(found.steps)
    said = (*(memoryview(column) for column in columns.values), *(() if stated is None else (stated,)))
    steps.defer(Stretch(count, partial(_steps_of, run, columns), slots.axes, _basis(run, columns), said))
    if slots.feed or stated is not None:
        changes = found.changes = found.changes if isinstance(found.changes, Spread) else Spread(found.changes)
        stating = (("feed",) if slots.feed else ()) + (("motion",) if stated is not None else ())
        changes.defer(Stretch(count * len(stating), partial(_changes_of, run, columns, len(stating)), stating))
    if slots.feed:
        _feed(modal, columns.values[-1][-1], columns.last)
    if stated is not None:
        _motion(modal, stated[-1].motion, columns.last)
    ends = ((axis, column[-1]) for axis, column in zip(slots.axes, columns.values, strict=False))
    modal.position = {**modal.position, **{axis: value * run.scale + run.base[axis] for axis, value in ends}}
    modal.stand(slots.axes, run.frame)


def _steps_of(run: PlainRun, columns: Columns, first: int, stop: int) -> list[Step]:
    """The steps from number ``first`` up to ``stop`` of a run of ``columns``: each line says all that the others do."""
    return replace(run, lines=columns.part(first, stop)).steps()


def _basis(run: PlainRun, columns: Columns) -> tuple[object, ...]:
    """What each value of ``columns`` means; all else that a step follows from is the same for each of them."""
    slots = columns.slots
    return slots.axes, slots.feed, columns.stated is None, None if slots.feed else run.rate, run.scale, run.base


def _changes_of(run: PlainRun, columns: Columns, each: int, first: int, stop: int) -> list[ModeChange]:
    """The changes from number ``first`` up to ``stop``, ``each`` line stating so many."""
    line = first // each
    part = replace(run, lines=columns.part(line, -(-stop // each)), at=run.at + line)
    return part.changes()[first - line * each : stop - line * each]


def _do(modal: Modal, run: PlainRun, lines: PlainRow) -> None:
    """Runs ``lines`` and notes all that they do."""
    steps = run.steps()
    modal.reading.steps.extend(steps)
    modal.reading.changes.extend(run.changes())
    for line, slots, values in lines.items:
        if slots.feed:
            _feed(modal, values[-1], line)
        if slots.motion is not None:
            _motion(modal, slots.motion, line)
    last = steps[-1]
    assert isinstance(last, Move)
    modal.position = dict(last.to)
    modal.stand(run.base, run.frame)


def _feed(modal: Modal, value: float, line: int) -> None:
    modal.close_untold_feed()
    modal.feed, modal.feed_scale = value + 0.0, modal.scale
    modal.modes["feed"], modal.lines["feed"] = f"{modal.feed * modal.scale:.10g}", line


def _motion(modal: Modal, motion: str | None, line: int) -> None:
    assert motion is not None
    modal.modes["motion"], modal.lines["motion"] = motion, line


def as_block(control: Control, line: int, slots: Slots, values: tuple[float, ...]) -> Block:
    """A plain line as the slow tier would have had it."""
    letters = slots.axes + (("F",) if slots.feed else ())
    words = [Word(letter, value + 0.0) for letter, value in zip(letters, values, strict=True)]
    if slots.motion is not None:
        code = control.groups["motion"][slots.motion]
        words.insert(0, Word(code[0], float(code[1:])))
    return Block(line, tuple(words))
