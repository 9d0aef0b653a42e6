"""The motion in order, told from the plan's steps; which words tell it is the template's affair."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace

from gen.base.dataclass import dataclass
from gen.control.draft import Program
from gen.paper.dressing import Dressing
from gen.paper.shown import Shown
from gen.plan.step import Aux, Coolant, Dwell, Move, Refuse, Spindle, Step, Write

_SAME = 0.005
"""mm between two positions that are one, rounded to what a program writes."""

MOST_REPEATS = 5
"""Repeated plunges told one by one before the rest is only counted."""


@dataclass(frozen=True, slots=True)
class ToldStep:
    """One thing that happens.

    ``kind`` is ``modes`` (all stated, first) and ``leaves`` (those left, last), ``park``,
    ``place`` (another axis), ``envelope``, ``approach``,
    ``plunge``, ``stroke`` (a plunge from a stand-off), ``retract``, ``spindle``,
    ``spindle-off``, ``coolant``, ``coolant-off``, ``wait``, ``read``, ``write``,
    ``lock``, ``free``, ``refuse``, ``repeat``, or of a timed feeder ``feeder-on``,
    ``feeder-off`` and ``feeder-back``. ``to`` is a position, or for
    ``relative`` a distance; ``wait`` what is waited for right after it.
    """

    kind: str
    axis: str = ""
    to: str = ""
    rate: str = ""
    rpm: str = ""
    direction: str = ""
    wait: str = ""
    contact: str = ""
    message: str = ""
    relative: bool = False
    writes: tuple[SimpleNamespace, ...] = ()
    first: int = 0
    last: int = 0
    visits: tuple[tuple[str, str], ...] = ()
    """Of ``repeat``: lateral position (empty: none) and contact of each plunge (empty: as before)."""
    cut: bool = False
    """Of ``repeat``: whether there are more than ``visits`` tells."""


def motion(program: Program, dress: Dressing, shown: Shown) -> tuple[ToldStep, ...]:
    """What happens in ``dress``; plunges after the first are told together."""
    return ToldStep("modes"), *_Teller(program, dress, shown).all(), ToldStep("leaves")


class _Teller:
    def __init__(self, program: Program, dress: Dressing, shown: Shown) -> None:
        self.dress = dress
        self.shown = shown
        self.dresser = program.dress.machine.dresser
        self.names = {number: name for name, number in program.plan.registers.items()}
        self.register_system = Shown("inch" if program.dress.register_unit != 1 else "mm", shown.language)
        self.plunges = dress.contacts.plunges
        self.seen = dict(dress.state.positions)

    def all(self) -> tuple[ToldStep, ...]:
        told: list[ToldStep] = []
        self.told_names: set[str] = set()
        ranges = self.repeated()
        repeated = {index for steps, _ in ranges for index in steps}
        for index, step in enumerate(self.dress.steps):
            told += [self.repeat(steps, numbers) for steps, numbers in ranges if index == steps.start]
            before = dict(self.seen)
            if isinstance(step, Move):
                self.seen.update(step.to)
            if index not in repeated:
                for one in self.one(index, step, before):
                    _joined(told, one)
        return tuple(told)

    def repeated(self) -> list[tuple[range, range]]:
        """Steps told together, with the plunges in them: what is like the first plunge, one wheel at a time."""
        found = []
        for _, group in itertools.groupby(range(len(self.plunges)), key=lambda number: self.plunges[number].wheel):
            numbers = list(group)
            first = numbers[0] or 1
            if first <= numbers[-1]:
                steps = range(self.begin(first, next_wheel=numbers[0] > 0), self.dress.retracts[numbers[-1]] + 1)
                found.append((steps, range(first, numbers[-1] + 1)))
        return found

    def begin(self, number: int, *, next_wheel: bool) -> int:
        """The step with which plunge ``number`` begins: after the retract before it, on another wheel later."""
        after = self.dress.retracts[number - 1] + 1
        if not next_wheel:
            return after
        moves = (index for index in range(after, self.plunges[number].enters + 1) if self.plunging(index))
        return next(moves, after)

    def plunging(self, index: int) -> bool:
        step = self.dress.steps[index]
        return isinstance(step, Move) and step.axes == (self.dresser.axis,)

    def one(self, index: int, step: Step, before: dict[str, float]) -> Iterator[ToldStep]:
        match step:
            case Move():
                yield self.move(index, step, before)
            case Dwell() if index and getattr(self.dress.steps[index - 1], "function", "") == "feeder-on":
                yield ToldStep("wait", wait=f"{self.shown.number(step.seconds, 3)} s")
            case Dwell():
                yield ToldStep("wait", wait=self.shown.seconds(step.seconds))
            case Spindle(direction="off"):
                yield ToldStep("spindle-off")
            case Spindle():
                yield ToldStep("spindle", rpm=self.shown.rpm(step.rpm), direction=step.direction)
            case Coolant():
                yield ToldStep("coolant" if step.on else "coolant-off")
            case Write():
                yield ToldStep("write", writes=(self.written(step),))
            case Aux(function="synchronise") if not self.plunges or index < self.plunges[0].enters:
                yield ToldStep("read")
            case Aux(function="override-lock"):
                yield ToldStep("lock")
            case Aux(function="override-free"):
                yield ToldStep("free")
            case Aux(function="feeder-on" | "feeder-off"):
                yield ToldStep(step.function)
            case Aux(function="feeder-retracted"):
                yield ToldStep("feeder-back")
            case Refuse():
                yield ToldStep("refuse", message=step.message)

    def move(self, index: int, move: Move, before: dict[str, float]) -> ToldStep:
        axis = move.axes[0]
        target = move.to.get(axis, 0.0)
        relative = move.frame == "incremental"
        told = ToldStep(
            kind=self.kind(index, move),
            axis=axis,
            to=self.shown.place(axis, abs(target - before.get(axis, 0.0)) if relative else target),
            rate="" if move.rate is None else self.shown.feed(move.rate),
            relative=relative,
        )
        for plunge in self.plunges:
            if plunge.enters == index and not relative:
                return replace(told, contact=self.shown.length(plunge.contact))
        return told

    def kind(self, index: int, move: Move) -> str:
        if move.axes != (self.dresser.axis,):
            return "place"
        if any(plunge.enters == index for plunge in self.plunges):
            return "stroke" if move.frame == "incremental" else "plunge"
        if index in self.dress.retracts:
            return "retract"
        if move.rate is not None:
            return "approach"
        ahead = any(plunge.enters > index for plunge in self.plunges)
        stands = self.dresser.stands_at
        parked = stands is not None and abs(move.to[move.axes[0]] - float(stands)) < _SAME
        return "envelope" if ahead and not parked else "park"

    def repeat(self, steps: range, numbers: range) -> ToldStep:
        """Plunges like the first: where each is, and what is written between them."""
        visits = []
        for number in numbers:
            before, plunge = self.plunges[number - 1], self.plunges[number]
            lateral = self.dresser.lateral_axis
            place = f"{lateral} {self.shown.length(plunge.lateral)}" if lateral and plunge.lateral is not None else ""
            same = not self.dresser.needs_length or abs(plunge.contact - before.contact) < _SAME
            visits.append((place, "" if same else self.shown.length(plunge.contact)))
        rate = self.plunges[numbers[0]].feed
        other = self.plunges[numbers[0]].wheel != self.plunges[0].wheel
        between = [step for index in steps if isinstance(step := self.dress.steps[index], Write)]
        return ToldStep(
            "repeat",
            axis=self.dresser.axis or "",
            to=self.ends_at(self.dress.retracts[numbers[-1]]),
            rate=self.shown.feed(rate) if other and rate is not None else "",
            first=numbers[0] + 1,
            last=numbers[-1] + 1,
            visits=tuple(visits[:MOST_REPEATS]),
            cut=len(visits) > MOST_REPEATS,
            writes=tuple({step.register: self.written(step) for step in between}.values()),
        )

    def ends_at(self, retract: int) -> str:
        """Where the last of repeated plunges goes back to, if that is not where the first one went."""
        axis = self.dresser.axis or ""
        back, first = self.dress.steps[retract], self.dress.steps[self.dress.retracts[0]]
        if not (isinstance(back, Move) and isinstance(first, Move)) or "incremental" in (back.frame, first.frame):
            return ""
        there, usual = back.to.get(axis), first.to.get(axis)
        if there is None or usual is None or abs(there - usual) < _SAME:
            return ""
        return self.shown.place(axis, there)

    def written(self, step: Write) -> SimpleNamespace:
        """The register that is given a value, both as text; ``name`` is its key in the machine file, told once."""
        name = self.names.get(step.register, "")
        is_length = name not in ("", "in_progress", "parts_since_dress", "next_lane")
        unit = float(self.dress.dress.register_unit)
        value = self.register_system.length(step.value * unit) if is_length else self.shown.number(step.value)
        first = name not in self.told_names
        self.told_names.add(name)
        return SimpleNamespace(number=str(step.register), name=name if first else "", value=value)


def _joined(told: list[ToldStep], one: ToldStep) -> None:
    """Adds ``one``, as part of what came before where the two are one thing to the person watching."""
    last = told[-1] if told else None
    if last is not None and one.kind == "wait" and last.kind in ("spindle", "coolant", "feeder-on", "feeder-off"):
        told[-1] = replace(last, wait=one.wait)
    elif last is not None and one.kind == "write" and last.kind == "write":
        told[-1] = replace(last, writes=(*last.writes, *one.writes))
    else:
        told.append(one)
