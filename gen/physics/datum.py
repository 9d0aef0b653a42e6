"""The datum of a dresser from touches: what each says, and how well they agree.

At a touch the stick's end meets the wheel, so that datum = p + s · reach, with
the reach of that stick and wheel (L + D/2 on a straight plunge). Every touch
gives the datum by itself; least squares of several is their mean.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from gen.base.dataclass import dataclass
from gen.physics.contact import Geometry, reach


@dataclass(frozen=True, slots=True)
class Touch:
    """Where the plunge axis stood, how long the stick was, and the wheel's diameter (a face: its gauge), all mm."""

    position: float
    length: float
    size: float


@dataclass(frozen=True, slots=True)
class Datum:
    """``value`` in mm by least squares; ``residuals`` are what each touch says less that, in the order of the touches.

    ``spread`` is the distance between the two touches that differ most.
    """

    value: float
    residuals: tuple[float, ...]
    spread: float


def datum_from(geometry: Geometry, touches: Sequence[Touch], sign: int) -> Datum:
    """The datum in mm from ``touches``, two at least; ``sign`` is the direction of the axis that closes the gap."""
    if len(touches) < 2:
        raise ValueError("one touch cannot be held against another")
    said = [touch.position + sign * reach(geometry, touch.length, touch.size) for touch in touches]
    value = math.fsum(said) / len(said)
    return Datum(value, tuple(one - value for one in said), max(said) - min(said))
