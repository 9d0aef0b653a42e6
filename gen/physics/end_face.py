"""The stick's end as a map of depth across its width.

A depth counts from where the map began, in mm, and grows as the stick is cut;
what still stands higher than that is below 0. Positions count across the width
from the stick's middle, in mm, in the direction in which lanes are counted.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from operator import itemgetter
from typing import TypeAlias

from gen.base.dataclass import dataclass

SLIVER = 0.02
"""mm. Narrower remains between two lanes are left by rounding, and break off."""

_SAME = 1e-9
"""mm. Depths that differ by less are one: double arithmetic made them two."""

_Stretch: TypeAlias = tuple[float, float, float]
"""From, to, and how deep it is cut, mm."""


@dataclass(frozen=True, slots=True)
class EndFace:
    """Stretches side by side, from one edge of the stick to the other."""

    stretches: tuple[_Stretch, ...]

    @classmethod
    def flat(cls, width: float) -> EndFace:
        """The end of a stick of ``width``, square."""
        return cls(((-width / 2, width / 2, 0.0),))

    def cut(self, low: float, high: float, depth: float) -> EndFace:
        """The end after a wheel from ``low`` to ``high`` went in to ``depth``; what is deeper already stays."""
        return EndFace(tuple(_joined(piece for stretch in self.stretches for piece in _cut(stretch, low, high, depth))))

    def depths(self, low: float, high: float) -> tuple[float, ...]:
        """The depths of what a wheel from ``low`` to ``high`` covers, slivers left out; empty beside the stick."""
        found: list[float] = []
        for a, b, depth in self.stretches[bisect_right(self.stretches, low, key=itemgetter(1)) :]:
            if a >= high:
                break
            if min(b, high) - max(a, low) > SLIVER:
                found.append(depth)
        return tuple(found)

    def highest(self, low: float, high: float) -> float | None:
        """The depth at which such a wheel meets the stick, its longest part first; None beside the stick."""
        return min(self.depths(low, high), default=None)

    @property
    def deepest(self) -> float:
        return max(depth for _, _, depth in self.stretches)

    def standing(self, depth: float) -> tuple[float, ...]:
        """The widths of what stands higher than ``depth``, mm, each wall by itself, slivers left out."""
        walls: list[float] = []
        edge = None
        for a, b, held in self.stretches:
            if held >= depth - _SAME:
                edge = None
            elif edge == a:
                walls[-1] += b - a
                edge = b
            else:
                walls.append(b - a)
                edge = b
        return tuple(wall for wall in walls if wall > SLIVER)


class WornEnd:
    """An ``end`` while it is cut, and the depth at which a wheel meets it at each of some places (from, to)."""

    def __init__(self, end: EndFace, places: Iterable[tuple[float, float]]) -> None:
        self.end = end
        self._met = {place: end.highest(*place) for place in places}

    def cut(self, low: float, high: float, depth: float) -> None:
        """As :meth:`EndFace.cut`; only what is met there is looked for anew."""
        self.end = self.end.cut(low, high, depth)
        for place in self._met:
            if place[0] <= high and low <= place[1]:
                self._met[place] = self.end.highest(*place)

    def met(self, place: tuple[float, float]) -> float | None:
        """The depth at which a wheel meets the stick at ``place``, one of them; None beside the stick."""
        return self._met[place]

    @property
    def longest(self) -> float:
        """The least of these depths; 0 where all places are beside the stick."""
        return min((depth for depth in self._met.values() if depth is not None), default=0.0)


def _cut(stretch: _Stretch, low: float, high: float, depth: float) -> Iterator[_Stretch]:
    a, b, held = stretch
    low, high = max(a, low), min(b, high)
    if high <= low:
        yield stretch
        return
    if a < low:
        yield a, low, held
    yield low, high, max(held, depth)
    if high < b:
        yield high, b, held


def _joined(pieces: Iterable[_Stretch]) -> Iterator[_Stretch]:
    """``pieces`` with neighbours of one depth made one."""
    held: _Stretch | None = None
    for piece in pieces:
        if held is not None and abs(held[2] - piece[2]) <= _SAME:
            held = held[0], piece[1], held[2]
        else:
            if held is not None:
                yield held
            held = piece
    if held is not None:
        yield held
