"""The ways of the axes beside the plunge axis: to each wheel through its points, and backwards out again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from gen.base.dataclass import dataclass
from gen.shop.wheel import Wheel


@dataclass(frozen=True, slots=True)
class Waypoint:
    """``axis`` goes to ``place``, mm or degrees; None: the lateral axis goes to the wheel's first lane."""

    axis: str
    place: Decimal | None


@dataclass(frozen=True, slots=True)
class Ways:
    """``to`` has the moves to each wheel from the one before, one axis at a time; ``out`` those after the last."""

    to: tuple[tuple[Waypoint, ...], ...]
    out: tuple[Waypoint, ...]

    @property
    def axes(self) -> tuple[str, ...]:
        """Every axis that moves, in the order of its first move."""
        return tuple(dict.fromkeys(point.axis for way in (*self.to, self.out) for point in way))


def ways(wheels: Sequence[Wheel]) -> Ways:
    """The ways of a dress that comes to ``wheels`` in this order.

    Wheels with the same positions and points behind each other are reached without going out in between. A move
    to where an axis stands already is left out.
    """
    stands: dict[str, Decimal | None] = {}
    found: list[tuple[Waypoint, ...]] = []
    out: tuple[Waypoint, ...] = ()
    before: Wheel | None = None
    for wheel in wheels:
        if before is not None and (wheel.at, wheel.keys.via) == (before.at, before.keys.via):
            found.append(tuple(_lane(wheel)))
        else:
            stands.update((point.axis, point.place) for point in out)
            inward, back = _inward(wheel, stands)
            found.append((*out, *inward))
            out = back if wheel.keys.via else ()
        before = wheel
    return Ways(tuple(found), out)


def _inward(wheel: Wheel, stands: dict[str, Decimal | None]) -> tuple[tuple[Waypoint, ...], tuple[Waypoint, ...]]:
    """The moves to ``wheel``, and those that undo them as far as where an axis came from is known."""
    made: list[Waypoint] = []
    undone: list[Waypoint] = []
    passed: dict[str, Decimal | None] = {}
    for point in _points(wheel):
        if point.place is None or stands.get(point.axis) != point.place:
            if passed.get(point.axis) is not None:
                undone.append(Waypoint(point.axis, passed[point.axis]))
            made.append(point)
        passed[point.axis] = stands[point.axis] = point.place
    return tuple(made), tuple(reversed(undone))


def _points(wheel: Wheel) -> Iterator[Waypoint]:
    for table in (*wheel.keys.via, wheel.at):
        yield from (Waypoint(axis, place) for axis, place in table.items())
    yield from _lane(wheel)


def _lane(wheel: Wheel) -> Iterator[Waypoint]:
    across = wheel.machine.dresser.lateral_axis
    if across is not None and wheel.keys.lateral is not None:
        yield Waypoint(across, None)
