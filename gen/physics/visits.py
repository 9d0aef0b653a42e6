"""What every visit of a dress meets and takes, as the stick's end goes from one to the next.

The stick's length L is that of its longest part under any of the wheels. A
visit meets the stick where the part under its own wheel is, which may already
be shorter than that.
"""

from __future__ import annotations

from collections.abc import Sequence

from gen.base.dataclass import dataclass
from gen.physics.end_face import EndFace, WornEnd

LEVEL = 0.005
"""mm. Two parts of the end that differ by less are level."""


@dataclass(frozen=True, slots=True)
class Bite:
    """Wheel number ``wheel`` on its lane number ``lane``: where it lies on the stick, and how deep it goes, mm.

    ``first``: with it a pass of this wheel over all its lanes begins.
    """

    wheel: int
    lane: int
    low: float
    high: float
    depth: float
    first: bool


@dataclass(frozen=True, slots=True)
class Visit:
    """A bite as it happens.

    ``contact`` is how much shorter than L the stick is under the wheel,
    ``lowered`` by how much L falls with this visit, both mm. ``level`` is False
    where a pass begins on an end that is not level under the wheel's lanes:
    part of the wheel would meet a shoulder, and part of it nothing.
    ``end`` is the stick's end before, and ``depth`` how deep in it the wheel goes; None beside the stick.
    """

    bite: Bite
    contact: float
    lowered: float
    level: bool
    end: EndFace
    depth: float | None


def visited(end: EndFace, bites: Sequence[Bite]) -> tuple[tuple[Visit, ...], EndFace]:
    """The visits of one dress that begins with ``end``, and the end it leaves. A bite beside the stick cuts nothing."""
    visits = []
    worn = WornEnd(end, ((bite.low, bite.high) for bite in bites))
    length = worn.longest
    for bite in bites:
        contact, before = worn.met((bite.low, bite.high)), worn.end
        level = not bite.first or _level(before, [other for other in bites if other.wheel == bite.wheel])
        depth = None if contact is None else contact + bite.depth
        if depth is not None:
            worn.cut(bite.low, bite.high, depth)
        now, shorter = worn.longest, 0.0 if contact is None else contact - length
        visits.append(Visit(bite, shorter, now - length, level, before, depth))
        length = now
    return tuple(visits), worn.end


def shoulders(width: float, bites: Sequence[Bite]) -> tuple[Visit, ...]:
    """The visits of the first three dresses that meet a shoulder, or the stick elsewhere than in the dress before.

    ``width`` is that of a new stick with a square end.
    """
    end = EndFace.flat(width)
    before: tuple[Visit, ...] = ()
    found: list[Visit] = []
    for _ in range(3):
        visits, end = visited(end, bites)
        found += [visit for visit in visits if not visit.level]
        found += [now for now, then in zip(visits, before, strict=False) if abs(now.contact - then.contact) > LEVEL]
        before = visits
    return tuple({visit.bite: visit for visit in reversed(found)}.values())


def _level(end: EndFace, lanes: Sequence[Bite]) -> bool:
    depths = [depth for bite in lanes for depth in end.depths(bite.low, bite.high)]
    return not depths or max(depths) - min(depths) <= LEVEL
