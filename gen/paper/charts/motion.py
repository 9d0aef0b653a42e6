"""A dress drawn: stick and wheel at the first plunge, each way that the stick goes, and every plunge in order.

Contact and plunge are drawn large enough to be seen; a way that would not fit beside them is broken, and the break is
marked. Where stick and wheel cannot be drawn in the scale of the plunge, the drawing says so.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import SimpleNamespace

from gen.base.dataclass import dataclass
from gen.base.widths import width
from gen.bounds.contacts import Plunge
from gen.control.draft import Program
from gen.paper.charts import Chart
from gen.paper.charts.plot import Box, DrawingSize, Line, hatch, neat, path
from gen.paper.dressing import Dressing, dressing
from gen.paper.shown import Shown
from gen.physics.contact import sagitta
from gen.plan.step import Move

NOWHERE = 0.005
"""mm of way that is none."""

BAR = 0.45
"""Letter heights from one plunge's bar to the next."""

MOST_ROWS = 3
"""Rows of text that the plunges of one wheel take at most."""

LEAST_DEPTH = 1.5
"""Letter heights that the depth of a plunge has on the drawing at least."""

_NEAR, BROKEN = 0.34, 0.1
"""Shares of the drawing's width: the most for the plunge with the clearance before it, and that of a broken way."""

TAIL = 0.08
"""Share of the drawing's width left for the stick's tail."""

WORD = 5
"""Letter heights left for a word behind the numbers beside a way, and for what parts them from it."""


def motion_chart(
    program: Program, size: DrawingSize, language: str = "en", numbers: Mapping[str, int] | None = None
) -> Chart | None:
    """The dress at the state of ``program``; None where the plan refuses to dress there.

    ``outline`` is the stick where it is parked, ``touching`` where it first touches, ``deepest`` where it is drawn
    back; ``breaks`` are the places at which a way is left out. ``enlarged`` is how many times larger the ways beside
    contact are drawn than stick and wheel, empty where all is to one scale. ``wheel`` 0 is the only one; ``plunges``
    are all of the dress, none where there is one alone.

    ``numbers`` are those of the ways by their kind, where a list beside the drawing
    numbers and tells them; they count from 1 without, and every plunge of the dress is drawn, each
    a little lower than the one before.
    """
    here, shown = dressing(program, program.state), Shown(program.dress.machine.units, language)
    return _Drawing(here, size, shown, numbers).chart() if here.contacts.plunges else None


@dataclass(frozen=True, slots=True)
class _Leg:
    kind: str
    start: float
    end: float
    rate: float | None


@dataclass(frozen=True, slots=True)
class _Broken:
    """Millimetres of way on the drawing: to scale between some of ``knots`` (mm, points), shortened between others."""

    knots: tuple[tuple[float, float], ...]
    breaks: tuple[float, ...]
    per_mm: float

    def __call__(self, way: float) -> float:
        first, last = self.knots[0], self.knots[-1]
        if way <= first[0]:
            return neat(first[1] + (way - first[0]) * self.per_mm)
        for (mm1, x1), (mm2, x2) in itertools.pairwise(self.knots):
            if way <= mm2:
                return neat(x1 + (way - mm1) / (mm2 - mm1) * (x2 - x1))
        return neat(last[1] + (way - last[0]) * self.per_mm)


class _Drawing:
    def __init__(self, here: Dressing, size: DrawingSize, shown: Shown, numbers: Mapping[str, int] | None) -> None:
        self.dress, self.here, self.shown, self.numbers = here.dress, here, shown, numbers
        self.plunge: Plunge = here.contacts.plunges[0]
        self.groups = _by_wheel(here.contacts.plunges) if numbers is None else ()
        self.below = sum(_height(group, size) for group in self.groups) + 0.4 * size.row * bool(self.groups)
        self.size = replace(size, height=neat(size.height + self.below))
        self.sign = self.dress.dresser.sign
        self.legs = tuple(self._legs())
        self.start = self.legs[0].start
        self.wheel = self.dress.wheels[self.plunge.wheel]

    def chart(self) -> Chart:
        size, dress, shown, plunge = self.size, self.dress, self.shown, self.plunge
        rows = len(self.legs)
        picture = Box(
            neat(2.6 * size.type),
            neat(0.3 * size.type),
            neat(size.width - 2),
            neat(size.height - (rows + 3.1) * size.row - self.below),
        )
        x = self._scale(picture)
        across = min(x.per_mm, 0.86 * picture.height / max(self._stick_height(), 1.0))
        ratio = x.per_mm / across
        middle = neat((picture.top + picture.bottom) / 2)
        contact, depth, start = (x(self._way(at)) for at in (plunge.contact, plunge.reached, self.start))
        levels = [neat(picture.bottom + size.row * (row + 0.9)) for row in range(rows)]
        bars_top = levels[-1] + 0.8 * size.row
        rows_end = neat(bars_top + self.below)
        places = tuple(self._places(x, rows_end))
        wheel = list(self._wheel(x, across, picture, middle))
        on_axis = "" if dress.dresser.axis is None else f"{dress.dresser.axis} "
        known = dress.dresser.needs_length
        return Chart(
            kind="motion",
            size=replace(size, height=neat(max(size.height, places[-1].y + 0.6 * size.row))),
            picture=picture,
            wheel_at=path(wheel),
            hatching=hatch(wheel, 0.9 * size.type),
            outline=path(self._stick(x, across, start, picture, middle)),
            touching=path(self._stick(x, across, contact, picture, middle)),
            deepest=path(self._stick(x, across, depth, picture, middle)),
            breaks=x.breaks,
            contact=contact,
            parked=start,
            ways=tuple(self._ways(x, levels)),
            places=places,
            rows_end=rows_end,
            middle=middle,
            stick_at=neat(picture.left + 0.3 * size.type),
            wheel_word=neat(depth + 1.2 * size.type),
            disc=neat(1.1 * size.type),
            parked_text=f"{on_axis}{shown.length(self.start)}" if known else "",
            contact_text=f"{on_axis}{shown.length(plunge.contact)}" if known else "",
            gap_text=shown.length(self._gap()),
            depth_text=shown.length(dress.settings.plunge),
            stick_text=shown.length(self.here.stick_length) if known else "",
            wheel_text=shown.length(self.here.wheels[plunge.wheel].size),
            angle_text=shown.angle(self.wheel.angle) if self.wheel.angle else "",
            enlarged=shown.number(ratio, 1) if ratio > 1.05 else "",
            face=dress.first.face,
            wheel=self.wheel.number,
            plunges=tuple(self._plunges(x, bars_top)),
            thick=neat(0.3 * size.type),
            title=dress.recipe.title,
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
            here, before = contacts.after[index].position, contacts.place_before(index)
            if not isinstance(step, Move) or here is None or before is None or abs(here - before) < NOWHERE:
                continue
            kind = "plunge" if index == plunge.enters else "back" if index == back else ""
            yield _Leg(kind or ("rapid" if step.rate is None else "approach"), before, here, step.rate)

    def _way(self, position: float) -> float:
        """How far ``position`` lies from the start toward the wheel, mm."""
        return self.sign * (position - self.start)

    def _begun(self) -> float:
        """Where the first plunge begins, mm of way."""
        return self._way(next(leg.start for leg in self.legs if leg.kind == "plunge"))

    def _gap(self) -> float:
        """What the first plunge still has before contact when it begins, mm."""
        return self._way(self.plunge.contact) - self._begun()

    def _scale(self, picture: Box) -> _Broken:
        """The first plunge as large as it must be and can be; ways before it in its scale, or broken."""
        size = self.size
        drawn = self.here.contacts.plunges if self.groups else (self.plunge,)
        furthest = max(self._way(plunge.reached) for plunge in drawn)
        near = furthest - self._begun()
        most = min(_NEAR * size.width, self._room(picture)) / near
        to_scale = 0.86 * picture.height / max(self._stick_height(), 1.0)
        per_mm = min(most, max(to_scale, LEAST_DEPTH * size.type / max(self.plunge.depth, NOWHERE)))
        at, x = 0.0, picture.left + TAIL * size.width
        knots, breaks = [(at, x)], []
        for leg in self.legs:
            end = self._way(leg.end)
            if leg.kind in ("plunge", "back") or end - at < NOWHERE:
                continue
            room = BROKEN * size.width
            if (end - at) * per_mm > 1.6 * room:
                breaks.append(neat(x + room / 2))
            else:
                room = (end - at) * per_mm
            at, x = end, x + room
            knots.append((at, x))
        knots.append((furthest, x + (furthest - at) * per_mm))
        return _Broken(tuple(knots), tuple(breaks), per_mm)

    def _room(self, picture: Box) -> float:
        """What of the drawing's width is left for the plunge, beside the stick, the ways before it and the words."""
        size = self.size
        before = sum(leg.kind not in ("plunge", "back") for leg in self.legs)
        told = f"{self.shown.feed(self.plunge.feed or 0)}, {self.shown.length(self.dress.settings.plunge)}"
        words = width(told, size.type, bold=True) + WORD * size.type
        return size.width - picture.left - (TAIL + before * BROKEN) * size.width - words

    def _tilted(self) -> bool:
        """Whether the face leans against the plunge, so that it is drawn along the spindle's axis."""
        return bool(self.wheel.angle) and not self.dress.first.face

    def _stick_height(self) -> float:
        across, along = self.dress.stick.section
        return float(across if self.dress.first.face or self._tilted() else along)

    def _stick(
        self, x: _Broken, across: float, tip: float, picture: Box, middle: float
    ) -> Iterator[tuple[float, float]]:
        """The stick's outline with its groove's bottom at ``tip``; a full one is square."""
        height = self._stick_height()
        half = height / 2 * across
        full = self.here.stick_length >= float(self.dress.stick.length) - NOWHERE
        worn = not full and not self.dress.first.face and not self._tilted()
        size = self.here.wheels[self.plunge.wheel].size
        yield picture.left, middle - half
        for share in [count / 12 - 1 for count in range(25)] if worn else [-1, 1]:
            forward = sagitta(abs(share) * height, size) if worn else 0.0
            yield tip + forward * x.per_mm, middle + share * half
        yield picture.left, middle + half

    def _wheel(self, x: _Broken, across: float, picture: Box, middle: float) -> Iterator[tuple[float, float]]:
        """What of the wheel lies in the picture, from its upper end down its working surface."""
        touch = x(self._way(self.plunge.contact))
        right = neat(min(picture.right, touch + 0.3 * self.size.width))
        if self.dress.first.face or self._tilted():
            half = min(float(self.wheel.keys.width) / 2 * across, picture.height / 2)
            reach = min(half, self._stick_height() / 2 * across)
            lean = math.tan(math.radians(float(self.wheel.angle))) * x.per_mm / across
            # the nearer edge of what stick and wheel share touches first
            yield touch + (reach - half) * lean, middle - half
            yield touch + (reach + half) * lean, middle + half
            yield max(right, touch + (reach + half) * lean), middle + half
            yield right, middle - half
            return
        radius = self.here.wheels[self.plunge.wheel].size / 2
        most = min(radius, picture.height / 2 / across)
        for count in range(33):
            off = most * (count / 16 - 1)
            inward = radius - math.sqrt(max(0.0, radius**2 - off**2))
            yield min(touch + inward * x.per_mm, right), middle + off * across
        yield from ((right, middle + most * across), (right, middle - most * across))

    def _plunges(self, x: _Broken, top: float) -> Iterator[SimpleNamespace]:
        """All plunges, those into one wheel, ``first`` to ``last``, close below each other from ``top`` on.

        ``bars`` go from where each touches to where it turns back; ``wheel`` 0 is the only one.
        """
        for numbers in self.groups:
            group = [self.here.contacts.plunges[number] for number in numbers]
            high, step = _height(numbers, self.size), _step(numbers, self.size)
            first = top + (high - step * (len(group) - 1)) / 2
            wheel = self.dress.wheels[group[0].wheel]
            bars = tuple(
                Line(x(self._way(one.contact)), y, x(self._way(one.reached)), y)
                for y, one in ((neat(first + step * row), one) for row, one in enumerate(group))
            )
            yield SimpleNamespace(
                first=numbers[0] + 1,
                last=numbers[-1] + 1,
                wheel=wheel.number,
                y=neat(top + high / 2),
                text_at=neat(max(bar.x2 for bar in bars) + 0.9 * self.size.type),
                bars=bars,
            )
            top += high

    def _ways(self, x: _Broken, rows: list[float]) -> Iterator[SimpleNamespace]:
        """One a row, in order: an arrow from ``x1`` to ``x2`` at ``y``, its head drawn as ``head``.

        ``kind`` is ``rapid``, ``approach``, ``plunge`` or ``back``; ``to`` is empty for a feeder. ``cuts`` is the part
        of a plunge that is in contact.
        """
        shown, size = self.shown, self.size
        furthest = max(x(self._way(leg.end)) for leg in self.legs)
        touch = x(self._way(self.plunge.contact))
        for number, (leg, y) in enumerate(zip(self.legs, rows, strict=True), 1):
            x1, x2 = x(self._way(leg.start)), x(self._way(leg.end))
            yield SimpleNamespace(
                number=number if self.numbers is None else self.numbers.get(leg.kind, 0),
                kind=leg.kind,
                x1=x1,
                x2=x2,
                y=y,
                to=shown.length(leg.end) if self.dress.dresser.needs_length else "",
                rate="" if leg.rate is None else shown.feed(leg.rate),
                head=_head(x2, y, 0.5 * size.type * (1 if x2 > x1 else -1)),
                cuts=Line(touch, y, neat(x2 - 0.4 * size.type), y) if leg.kind == "plunge" else None,
                text_at=neat(furthest + 0.9 * size.type),
            )

    def _places(self, x: _Broken, top: float) -> Iterator[SimpleNamespace]:
        """The positions of the plunge axis that matter, each told where no other is; contact has a row of its own.

        A line goes down at ``x``, the ``text`` is centred at ``text_x``, ``y``.
        """
        size = self.size
        contact = self._way(self.plunge.contact)
        texts: dict[float, str] = {}
        if self.dress.dresser.needs_length:
            for position in [self.start, *(leg.end for leg in self.legs)]:
                text = self.shown.length(position).partition(" ")[0]
                texts.setdefault(round(self._way(position), 3), text)
        ends: list[float] = []
        for way, text in sorted(texts.items()):
            wide = width(text, size.type)
            left = max(0.0, min(x(way) - wide / 2, size.width - wide))
            row = next((row for row, end in enumerate(ends) if end + 0.5 * size.type < left), len(ends))
            ends[row : row + 1] = [left + wide]
            told, y = neat(left + wide / 2), neat(top + size.row * (row + 0.7))
            yield SimpleNamespace(x=x(way), text_x=told, y=y, text=text, contact=False)
        # the words there are a language's, and reach as far to the left as to the right
        middle = max(x(contact), 8 * size.type)
        y = neat(top + size.row * (max(len(ends), 1) + 0.7))
        yield SimpleNamespace(x=x(contact), text_x=middle, y=y, text="", contact=True)


def _by_wheel(plunges: Sequence[Plunge]) -> tuple[tuple[int, ...], ...]:
    """The numbers of the plunges, from 0, those into one wheel together; none where there is one alone."""
    if len(plunges) < 2:
        return ()
    groups = itertools.groupby(range(len(plunges)), key=lambda number: plunges[number].wheel)
    return tuple(tuple(numbers) for _, numbers in groups)


def _step(group: Sequence[int], size: DrawingSize) -> float:
    """From one bar of ``group`` to the next; many of them are closer."""
    return min(BAR * size.type, MOST_ROWS * size.row / len(group))


def _height(group: Sequence[int], size: DrawingSize) -> float:
    """What the plunges of one wheel take of the drawing's height."""
    return max(size.row, _step(group, size) * (len(group) + 0.6))


def _head(x: float, y: float, length: float) -> str:
    """The head of an arrow that ends at ``x``, ``y``."""
    return path([(x, y), (x - length, y - abs(length) / 2), (x - length, y + abs(length) / 2)])
