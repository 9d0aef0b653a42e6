"""Where things lie on a drawing: points, scales with round ticks, and hatching that needs no colour.

Drawings count in points (1/72 in) from the upper left corner, as SVG does.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from types import SimpleNamespace
from typing import NamedTuple, TypeAlias

from gen.base.dataclass import dataclass

Polygon: TypeAlias = Sequence[tuple[float, float]]


class Line(NamedTuple):
    """A straight line from one point to another."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its edges."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return neat(self.right - self.left)

    @property
    def height(self) -> float:
        return neat(self.bottom - self.top)


@dataclass(frozen=True, slots=True)
class DrawingSize:
    """How large a drawing is; ``type`` is the height of its letters, ``row`` the distance of two lines of them."""

    width: float
    height: float
    type: float

    @property
    def row(self) -> float:
        return neat(1.35 * self.type)


def legend(left: float, top: float, size: DrawingSize, rows: int) -> SimpleNamespace:
    """Where what a drawing's lines mean is told in so many ``rows``, the upper left corner at ``left``, ``top``.

    A sample goes from ``left`` to ``right``, its words begin at ``text``.
    """
    right = left + 2.2 * size.type
    return SimpleNamespace(
        left=neat(left),
        right=neat(right),
        middle=neat((left + right) / 2),
        text=neat(right + 0.6 * size.type),
        rows=[neat(top + size.row * (row + 0.5)) for row in range(rows)],
    )


FULL = DrawingSize(720, 430, 13)
SMALL = DrawingSize(262, 186, 9)
"""92 mm wide: half a sheet."""

BROAD = DrawingSize(300, 136, 9)
"""106 mm wide: what a list beside it leaves."""

FLAT = DrawingSize(300, 112, 9)
"""As wide as ``BROAD``, for a page that is full."""

LOW = DrawingSize(262, 100, 9)
"""As wide as ``SMALL``."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A number on an axis: where, and its text."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Scale:
    """Values from ``low`` to ``high`` laid out from ``start`` to ``end``."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        return neat(self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start))

    def holds(self, value: float) -> bool:
        return self.low <= value <= self.high

    def ticks(self, most: int = 6, text: Callable[[float], str] | None = None) -> tuple[Tick, ...]:
        """At most ``most`` + 1 round values within the scale."""
        step = round_step((self.high - self.low) / most)
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        values = [count * step for count in range(first, last + 1)]
        return tuple(Tick(self(value), (text or short)(value)) for value in values)


def neat(value: float) -> float:
    """``value`` to a hundredth of a point, and never "-0"."""
    return round(value, 2) + 0.0


def short(value: float) -> str:
    """``value`` to twelve digits, without zeros at its end."""
    return f"{value:.12g}"


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10 … times a power of ten that is not below ``least``."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least * (1 - 1e-9))


def path(points: Iterable[tuple[float, float]]) -> str:
    """``points`` as an attribute of an SVG polygon or polyline."""
    return " ".join(f"{neat(x):g},{neat(y):g}" for x, y in points)


def hatch(polygon: Polygon, gap: float) -> tuple[Line, ...]:
    """Lines at 45° across a convex ``polygon``, ``gap`` apart, rising to the right."""
    along = [x + y for x, y in polygon]
    apart = gap * math.sqrt(2)
    counts = range(math.ceil(min(along) / apart), math.floor(max(along) / apart) + 1)
    return tuple(line for count in counts if (line := _across(polygon, count * apart)) is not None)


def _across(polygon: Polygon, level: float) -> Line | None:
    """The part of y = level − x that lies in ``polygon``; None if that is no more than a corner."""
    ends = set()
    for (x1, y1), (x2, y2) in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        one, two = x1 + y1 - level, x2 + y2 - level
        if one != two and min(one, two) <= 0 <= max(one, two):
            share = one / (one - two)
            ends.add((neat(x1 + share * (x2 - x1)), neat(y1 + share * (y2 - y1))))
    if len(ends) < 2:
        return None
    return Line(*min(ends), *max(ends))
