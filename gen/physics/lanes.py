"""Where across the wheel the stick plunges: lanes and stations.

A stick wider than the wheel visits every *lane* of its own end, so that the
end stays flat. A stick narrower than the wheel visits *stations* across the
wheel's face, so that the whole face is opened.
"""

from __future__ import annotations

import math

from gen.base.dataclass import dataclass
from gen.physics.contact import Geometry
from gen.physics.end_face import SLIVER

MOST = 200
"""The most plunges one dress makes, over all lanes; more lanes than that are no longer counted."""


ALIKE = 1.5 * SLIVER
"""mm. Centred, widths nearer than this leave less than a sliver on either side; further apart, two lanes leave more."""


@dataclass(frozen=True, slots=True)
class Lanes:
    """Offsets in mm from the centred position, in the order visited.

    ``stick_is_wider`` tells lanes (every visit cuts another part of the stick,
    one plunge depth in all) from stations (every visit cuts the whole end).
    """

    offsets: tuple[float, ...]
    stick_is_wider: bool

    @property
    def cuts_per_pass(self) -> int:
        """How many plunge depths one pass over all offsets takes off the stick."""
        return 1 if self.stick_is_wider else len(self.offsets)

    @property
    def pitch(self) -> float:
        """From one offset to the next, mm; 0 where there is one."""
        return self.offsets[1] - self.offsets[0] if len(self.offsets) > 1 else 0.0

    def in_turn(self, width: float) -> tuple[int, ...]:
        """The lane of each dress where every dress visits the next one, for a wheel ``width`` mm wide.

        Lanes that overlap leave the next one narrower than the wheel, always on the same side; so they are
        visited up and down again, and what one side of the rim misses on the way up the other misses on the way down.
        """
        up = tuple(range(len(self.offsets)))
        return up if len(up) == 1 or self.pitch > width - SLIVER else (*up, *reversed(up))


def lanes(geometry: Geometry, *, overlap: float, only_one: bool = False, at: float = 0.0) -> Lanes:
    """The lanes or stations for ``geometry``, each overlapping its neighbour by ``overlap`` mm at least.

    An overlap of more than half the narrower width is taken as that half. ``only_one``: the one at ``at``.
    Widths that differ by less than :data:`ALIKE` need one: a second lane would meet nothing that still stands.
    """
    stick, wheel = geometry.footprint, geometry.wheel_width
    wider = stick > wheel
    narrow, wide = min(stick, wheel), max(stick, wheel)
    if only_one or wide - narrow < ALIKE:
        return Lanes((at if only_one else 0.0,), stick_is_wider=wider)
    shared = min(overlap, narrow / 2)
    count = min(math.ceil((wide - shared) / (narrow - shared) - 1e-9), MOST + 1)
    pitch = (wide - narrow) / (count - 1)
    return Lanes(tuple(-(wide - narrow) / 2 + pitch * k for k in range(count)), stick_is_wider=wider)
