"""A cup's rim under a stick: the section of a ring that lies under a rectangle, and what the ring never reaches.

The rim is the ring between the circles of D and D − 2W. The stick is a
rectangle, ``width`` along the rim's radius and ``height`` along its motion,
whose middle lies at the middle of the rim when its offset is 0. All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence


def rim_section(diameter: float, rim: float, width: float, height: float, offset: float = 0.0) -> float:
    """Area in mm² of the stick's end that the rim covers: ring ∩ rectangle (geometry).

    ``offset`` is how far the stick's middle lies outside the middle of the rim.
    """
    outer = diameter / 2
    middle = outer - rim / 2 + offset
    low, high = middle - width / 2, middle + width / 2
    return _disc_within(outer, low, high, height) - _disc_within(outer - rim, low, high, height)


def horn(diameter: float, rim: float, width: float, height: float, offsets: Sequence[float] = (0.0,)) -> float:
    """Width in mm of what stays standing at either end of the stick, since the rim curves away from it; 0 for none.

    At its upper and lower edge, h/2 from the middle, the rim reaches no further
    out than √(D²/4 − h²/4) (geometry). ``offsets`` are those of every lane or
    station; the one that brings the stick furthest in decides.
    """
    outer = diameter / 2
    reached = math.sqrt(max(0.0, outer**2 - height**2 / 4))
    nearest = outer - rim / 2 - max(map(abs, offsets)) + width / 2
    return min(max(0.0, nearest - reached), width)


def _disc_within(radius: float, low: float, high: float, height: float) -> float:
    """Area of a disc about the origin between x = ``low`` and ``high``, and within ± ``height``/2."""
    return _half(radius, high, height) - _half(radius, low, height)


def _half(radius: float, to: float, height: float) -> float:
    """Area of the disc from x = 0 to ``to``, negative to the left: ∫ min(√(R² − y²), x) dy over ± h/2."""
    if radius <= 0:
        return 0.0
    across, top = min(abs(to), radius), min(height / 2, radius)
    flat = min(top, math.sqrt(radius**2 - across**2))
    area = 2 * (across * flat + _under_arc(radius, top) - _under_arc(radius, flat))
    return math.copysign(area, to)


def _under_arc(radius: float, y: float) -> float:
    """∫ √(R² − y²) dy from 0 to ``y``."""
    return (y * math.sqrt(max(0.0, radius**2 - y**2)) + radius**2 * math.asin(min(1.0, y / radius))) / 2
