"""What the page draws, to one scale: the wheels, the stick with seat and jaw, and where they stand.

The picture is a section through the wheel's axis: the stick plunges along x,
the wheel's width and the lanes lie along y. All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, TypeAlias

from gen.base.dataclass import dataclass
from gen.bounds.contacts import Contacts, before_the_stick
from gen.bounds.wear import Wear
from gen.physics.contact import reach
from gen.physics.end_face import EndFace
from gen.shop.wheel import Wheel

Outline: TypeAlias = tuple[tuple[float, float], ...]
"""Corners, x and y."""


@dataclass(frozen=True, slots=True)
class Stand:
    """How stick and wheel stand to each other; None for what is not known.

    ``gap`` is what lies between them: below 0 the depth in contact, infinite where no wheel stands before the stick.
    ``contact`` is where the plunge axis would be at contact, ``end`` the stick's end. ``seat`` is how far its seat is
    from the wheel's axis (a face: from the gauge plane) along the plunge, ``across`` where its middle lies along y.
    ``before`` numbers the wheels that are at their positions: where the others are then, no file says.
    """

    gap: float | None = None
    contact: float | None = None
    end: EndFace | None = None
    seat: float | None = None
    across: float | None = None
    before: tuple[int, ...] = ()


def scene(wear: Wear) -> dict[str, Any]:
    """What stays the same while one dress plays, for the script: the wheels and the stick of ``wear``.

    ``wheels`` are outlines; ``stick`` is width, height and length; ``jaw`` and ``holder`` reach so far from the
    seat, the holder at its width. ``angle`` is that of an inclined plunge, degrees, ``leads`` how far from its middle
    on the new wheel its line meets the axis. ``round`` is the diameter of a wheel that can be drawn from its side as
    well, else None.
    """
    dress, first, dresser = wear.dress, wear.dress.first, wear.dress.dresser
    straight = len(dress.wheels) == 1 and not (first.face or first.angle)
    outlines = [_outline(first, wheel, wear.size_of(wheel)) for wheel in dress.wheels]
    return {
        "wheels": [[[round(x, 4), round(y, 4)] for x, y in outline] for outline in outlines],
        "stick": [*map(float, dress.stick.section), wear.stick_length],
        "jaw": float(dresser.jaw),
        "holder": None if dresser.holder is None else [*map(float, dresser.holder)],
        "angle": float(dresser.inclination),
        "tilt": _tilt(first),
        "leads": _tilt(first) * _aside(first),
        "round": wear.size_of(first) if straight else None,
    }


def centre(wheel: Wheel) -> float:
    """Where the middle of ``wheel`` lies along y, mm."""
    return 0.0 if wheel.keys.lateral is None else -wheel.lateral_sign * float(wheel.keys.lateral)


def stand(wear: Wear, contacts: Contacts, step: int, places: Mapping[str, float]) -> Stand:
    """How they stand after that ``step`` of a dress that began at the state of ``wear``, the axes at ``places``."""
    first, dresser = wear.dress.first, wear.dress.dresser
    size, length = wear.size_of(first), wear.stick_length
    before = tuple(before_the_stick(wear.dress, places))
    stick = gap = end = lateral = seat = None
    if (apart := contacts.after.get(step)) is not None:
        left = (plunge.end for plunge in contacts.plunges if plunge.leaves is None or plunge.leaves > step)
        stick, gap, end = apart.position, apart.gap if before else None, next(left, contacts.end)
        lateral = places.get(dresser.lateral_axis or "")
    origin = first.contact(size, length, wear.state.positions.get(dresser.way))
    if origin is not None and stick is not None:
        seat = reach(first.geometry, length, size) + dresser.sign * (origin - stick)
    return Stand(
        gap=gap,
        contact=None if stick is None or gap is None or math.isinf(gap) else stick + dresser.sign * gap,
        end=end,
        seat=seat,
        across=centre(first) if lateral is None else -first.lateral_sign * lateral,
        before=before,
    )


def _tilt(wheel: Wheel) -> int:
    """The sense in which an inclined stick is turned."""
    return (wheel.recentre_sign or 1) * wheel.lateral_sign


def _aside(wheel: Wheel) -> float:
    """How far along the wheel's axis an inclined stick goes from the axis to the surface of the new wheel, mm."""
    if wheel.face or wheel.keys.taper:
        return 0.0
    return float(wheel.keys.diameter[1]) / 2 * math.tan(math.radians(float(wheel.angle)))


def _outline(first: Wheel, wheel: Wheel, size: float) -> Outline:
    """The wheel's section, the side that the stick meets to the left of its axis.

    A stick that is centred on the ``first`` wheel of a pack meets another one as much further aside as that is larger.
    """
    y, half = centre(wheel) - _tilt(wheel) * (_aside(wheel) - _aside(first)), float(wheel.keys.width) / 2
    if wheel.face:
        return ((-size, y - half), (-size, y + half), (0.0, y + half), (0.0, y - half))
    large = size / 2
    small = large - wheel.geometry.bedding if wheel.keys.taper else large
    return ((-large, y - half), (-small, y + half), (small, y + half), (large, y - half))
