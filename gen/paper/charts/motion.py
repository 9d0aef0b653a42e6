"""A dress to scale: stick and wheel at the first plunge, each way that the stick goes, and every plunge in order."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from gen.bounds.contacts import Plunge
from gen.control.draft import Program
from gen.paper.charts.plot import Box, Line, Scale, Size, hatch, neat, path
from gen.paper.dressing import Dressing, dressing
from gen.paper.shown import Shown
from gen.physics.contact import sagitta
from gen.plan.step import Move
from gen.shop.dress import Dress

NOWHERE = 0.005
"""mm of way that is none."""

BAR = 0.45
"""Letter heights from one plunge's bar to the next."""

MOST_ROWS = 3
"""Rows of text that the plunges of one wheel take at most."""

TAIL, WHEEL = 0.12, 0.2
"""Shares of the drawing's width left for the stick's tail and for the wheel."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way of the stick: ``kind`` is ``rapid``, ``approach``, ``plunge`` or ``back``; ``to`` is empty for a feeder.

    The arrow goes from ``x1`` to ``x2`` at ``y``, its head drawn as ``head``.
    """

    kind: str
    x1: float
    x2: float
    y: float
    to: str
    rate: str
    head: str


@dataclass(frozen=True, slots=True)
class Plunges:
    """The plunges into one wheel, one after the other: numbers ``first`` to ``last`` of the dress.

    ``bars`` go from where each touches to where it turns back; ``wheel`` 0 is the only one.
    """

    first: int
    last: int
    wheel: int
    rate: str
    depth: str
    y: float
    bars: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class MotionChart:
    """Everything placed; texts are numbers with units.

    ``outline`` is the stick where it is parked, ``touching`` where it first
    touches, ``deepest`` where it is drawn back; ``ways`` follow each other, ``gap``
    is where what is left to contact is measured, and ``wheel`` 0 the only one.
    ``plunges`` are all of the dress, none where there is one alone.
    """

    kind: ClassVar[str] = "motion"
    size: Size
    picture: Box
    wheel_at: str
    hatching: tuple[Line, ...]
    outline: str
    touching: str
    deepest: str
    break_at: float
    middle: float
    contact: float
    parked: float
    ways: tuple[Way, ...]
    gap: Line
    axis: str
    parked_text: str
    contact_text: str
    gap_text: str
    depth_text: str
    stick_text: str
    wheel_text: str
    face: bool
    timed: bool
    wheel: int
    parked_row: float
    contact_row: float
    text_at: float
    plunges: tuple[Plunges, ...]
    thick: float
    title: str


def motion_chart(program: Program, title: str, size: Size, decimal: str = ".") -> MotionChart | None:
    """The dress at the state of ``program``; None where the plan refuses to dress there.

    Every plunge after the first makes the drawing a little higher than ``size``.
    """
    here = dressing(program, program.state)
    return _Drawing(program.dress, here, title, size, decimal).chart() if here.contacts.plunges else None


@dataclass(frozen=True, slots=True)
class _Leg:
    kind: str
    start: float
    end: float
    rate: float | None


class _Drawing:
    def __init__(self, dress: Dress, here: Dressing, title: str, size: Size, decimal: str) -> None:
        self.dress, self.here, self.title = dress, here, title
        self.plunge: Plunge = here.contacts.plunges[0]
        self.groups = _by_wheel(here.contacts.plunges)
        self.below = sum(_height(group, size) for group in self.groups) + 0.4 * size.row * bool(self.groups)
        self.size = replace(size, height=neat(size.height + self.below))
        self.sign = dress.dresser.sign
        self.legs = tuple(self._legs())
        self.start = self.legs[0].start
        self.shown = Shown(dress.machine.units, decimal)

    def chart(self) -> MotionChart:
        size, dress, shown, plunge = self.size, self.dress, self.shown, self.plunge
        picture = self._picture()
        x = self._scale(picture)
        middle = neat((picture.top + picture.bottom) / 2)
        contact, depth, start = (x(self._way(at)) for at in (plunge.contact, plunge.reached, self.start))
        rows = [neat(picture.bottom + size.row * (row + 0.9)) for row in range(len(self.legs) + 2)]
        gap = self._gap()
        wheel = list(self._wheel(x, picture, middle))
        on_axis = "" if dress.dresser.axis is None else f"{dress.dresser.axis} "
        return MotionChart(
            size=size,
            picture=picture,
            wheel_at=path(wheel),
            hatching=hatch(wheel, 0.9 * size.type),
            outline=path(self._stick(x, start, picture, middle)),
            touching=path(self._stick(x, contact, picture, middle)),
            deepest=path(self._stick(x, depth, picture, middle)),
            break_at=picture.left,
            middle=middle,
            contact=contact,
            parked=start,
            ways=tuple(self._ways(x, rows)),
            gap=Line(x(self._way(plunge.contact) - gap), rows[-3], contact, rows[-3]),
            axis=dress.dresser.axis or "",
            parked_text=f"{on_axis}{shown.length(self.start)}" if dress.dresser.needs_length else "",
            contact_text=f"{on_axis}{shown.length(plunge.contact)}" if dress.dresser.needs_length else "",
            gap_text=shown.length(gap),
            depth_text=shown.length(dress.settings.plunge),
            stick_text=shown.length(self.here.length) if dress.dresser.needs_length else "",
            wheel_text=shown.length(self.here.wheels[plunge.wheel].size),
            face=dress.first.face,
            timed=dress.dresser.valve is not None,
            wheel=plunge.wheel + 1 if len(dress.wheels) > 1 else 0,
            parked_row=rows[0],
            contact_row=rows[-3],
            text_at=neat(0.4 * size.type),
            plunges=tuple(self._plunges(x, rows[-1] + 0.7 * size.row)),
            thick=neat(0.3 * size.type),
            title=self.title,
        )

    def _legs(self) -> Iterator[_Leg]:
        """The plunge axis' ways from where it starts to where it is back, positions in mm."""
        plunge, contacts = self.plunge, self.here.contacts
        if self.dress.dresser.axis is None:
            yield _Leg("plunge", 0.0, plunge.reached, plunge.feed)
            yield _Leg("back", plunge.reached, 0.0, None)
            return
        back = self.here.retracts[0]
        for index, step in enumerate(self.here.steps[: back + 1]):
            here, before = contacts.positions.get(index), contacts.positions.get(index - 1, contacts.before)
            if not isinstance(step, Move) or here is None or before is None or abs(here - before) < NOWHERE:
                continue
            kind = "plunge" if index == plunge.enters else "back" if index == back else ""
            yield _Leg(kind or ("rapid" if step.rate is None else "approach"), before, here, step.rate)

    def _way(self, position: float) -> float:
        """How far ``position`` lies from the start toward the wheel, mm."""
        return self.sign * (position - self.start)

    def _gap(self) -> float:
        """What the first plunge still has before contact when it begins, mm."""
        begun = next(leg.start for leg in self.legs if leg.kind == "plunge")
        return self._way(self.plunge.contact) - self._way(begun)

    def _picture(self) -> Box:
        size = self.size
        rows = size.row * (len(self.legs) + 2) + 0.7 * size.type + self.below
        return Box(neat(0.44 * size.width), neat(1.7 * size.type), neat(size.width - 2), neat(size.height - rows))

    def _scale(self, picture: Box) -> Scale:
        """Millimetres of way on the drawing, the same along and across."""
        ends = [leg.end for leg in self.legs] + [plunge.reached for plunge in self.here.contacts.plunges]
        travel = max(map(self._way, ends))
        along = picture.width * (1 - TAIL - WHEEL) / travel
        per_mm = min(along, 0.8 * picture.height / max(self._stick_height(), 1.0))
        start = picture.left + TAIL * picture.width
        return Scale(0, travel, start, start + travel * per_mm)

    def _stick_height(self) -> float:
        across, along = self.dress.stick.section
        return float(across if self.dress.first.face else along)

    def _stick(self, x: Scale, tip: float, picture: Box, middle: float) -> Iterator[tuple[float, float]]:
        """The stick's outline with its groove's bottom at ``tip``; a full one is square."""
        height = self._stick_height()
        half = self._px(x, height / 2)
        worn = self.here.length < float(self.dress.stick.length) - NOWHERE and not self.dress.first.face
        size = self.here.wheels[self.plunge.wheel].size
        yield picture.left, middle - half
        for share in [count / 12 - 1 for count in range(25)] if worn else [-1, 1]:
            forward = sagitta(abs(share) * height, size) if worn else 0.0
            yield tip + self._px(x, forward), middle + share * half
        yield picture.left, middle + half

    def _wheel(self, x: Scale, picture: Box, middle: float) -> Iterator[tuple[float, float]]:
        """What of the wheel lies in the picture, from its upper end down its working surface."""
        touch = x(self._way(self.plunge.contact))
        if self.dress.first.face:
            half = min(self._px(x, float(self.dress.first.keys.width) / 2), picture.height / 2)
            yield from ((touch, middle - half), (touch, middle + half))
            yield from ((picture.right, middle + half), (picture.right, middle - half))
            return
        radius = self._px(x, self.here.wheels[self.plunge.wheel].size / 2)
        most = min(radius, picture.height / 2)
        for count in range(33):
            across = most * (count / 16 - 1)
            inward = radius - math.sqrt(max(0.0, radius**2 - across**2))
            yield min(touch + inward, picture.right), middle + across
        yield from ((picture.right, middle + most), (picture.right, middle - most))

    def _plunges(self, x: Scale, top: float) -> Iterator[Plunges]:
        """All plunges, a bar each, those into one wheel close below each other from ``top`` on."""
        for numbers in self.groups:
            group = [self.here.contacts.plunges[number] for number in numbers]
            high, step = _height(numbers, self.size), _step(numbers, self.size)
            first = top + (high - step * (len(group) - 1)) / 2
            yield Plunges(
                first=numbers[0] + 1,
                last=numbers[-1] + 1,
                wheel=group[0].wheel + 1 if len(self.dress.wheels) > 1 else 0,
                rate="" if group[0].feed is None else self.shown.feed(group[0].feed),
                depth=self.shown.length(self.dress.wheels[group[0].wheel].settings.plunge),
                y=neat(top + high / 2),
                bars=tuple(
                    Line(x(self._way(one.contact)), y, x(self._way(one.reached)), y)
                    for y, one in ((neat(first + step * row), one) for row, one in enumerate(group))
                ),
            )
            top += high

    def _px(self, x: Scale, length: float) -> float:
        return length * (x.end - x.start) / (x.high - x.low)

    def _ways(self, x: Scale, rows: list[float]) -> Iterator[Way]:
        """One a row: the first row is for where the stick starts, the one before the plunge for the contact."""
        shown, size = self.shown, self.size
        row = 1
        for leg in self.legs:
            y = rows[-1] if leg.kind == "back" else rows[row]
            if leg.kind == "plunge":
                y = rows[-2]
            x1, x2 = x(self._way(leg.start)), x(self._way(leg.end))
            absolute = shown.length(leg.end) if self.dress.dresser.needs_length else ""
            rate = "" if leg.rate is None else shown.feed(leg.rate)
            yield Way(leg.kind, x1, x2, y, absolute, rate, _head(x2, y, 0.42 * size.type * (1 if x2 > x1 else -1)))
            row += 1


def _by_wheel(plunges: Sequence[Plunge]) -> tuple[tuple[int, ...], ...]:
    """The numbers of the plunges, from 0, those into one wheel together; none where there is one alone."""
    if len(plunges) < 2:
        return ()
    groups = itertools.groupby(range(len(plunges)), key=lambda number: plunges[number].wheel)
    return tuple(tuple(numbers) for _, numbers in groups)


def _step(group: Sequence[int], size: Size) -> float:
    """From one bar of ``group`` to the next; many of them are closer."""
    return min(BAR * size.type, MOST_ROWS * size.row / len(group))


def _height(group: Sequence[int], size: Size) -> float:
    """What the plunges of one wheel take of the drawing's height."""
    return max(size.row, _step(group, size) * (len(group) + 0.6))


def _head(x: float, y: float, length: float) -> str:
    """The head of an arrow that ends at ``x``, ``y``."""
    return path([(x, y), (x - length, y - abs(length) / 2), (x - length, y + abs(length) / 2)])
