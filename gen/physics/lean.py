"""An inclined stick beside the wheels of a pack: in a section through their axis it leans over its neighbours.

Positions count along the axis in the sense of the lateral axis, radii from the axis, all mm.
"""

from __future__ import annotations

import math


def axial_place(lateral: float, diameter: float, angle_deg: float, lean: int) -> float:
    """Where the middle of a wheel is, whose surface a stick at ``lateral`` meets in the middle when its diameter is so.

    ``lean`` is the sense, 1 or -1, in which the stick goes aside on its way out: a stick with the lateral axis at ℓ has
    its middle at ℓ + lean · r tan α at the radius r (geometry).
    """
    return lateral + lean * diameter / 2 * math.tan(math.radians(angle_deg))


def nearest_radius(
    lateral: float, half: float, radii: tuple[float, float], band: tuple[float, float], angle_deg: float, lean: int
) -> float | None:
    """The least radius at which a straight body of half the width ``half`` lies over ``band`` of the axis.

    The body reaches from the first of ``radii`` to the second, where it is cut off along the axis. None where it is
    beside the band all the way.
    """
    slope = lean * math.tan(math.radians(angle_deg))
    across = half / math.cos(math.radians(angle_deg))
    # beside the band until lateral + slope r + across reaches it, and from where lateral + slope r - across has left it
    ends = sorted((edge - lateral) / slope for edge in (band[0] - across, band[1] + across))
    first, last = max(ends[0], radii[0]), min(ends[1], radii[1])
    return first if first < last else None
