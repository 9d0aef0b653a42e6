"""What is in force at one moment of a run: modes, mist, and where each axis stands and how that was told."""

from __future__ import annotations

from collections.abc import Mapping

from gen.base.dataclass import dataclass
from gen.plan.step import Move

INHERITED = {
    "units": "mm",
    "distance": "absolute",
    "arc_distance": "incremental",
    "feed_mode": "per-minute",
    "plane": "xy",
}
"""What is assumed of a mode that neither program nor control file gives; it is recorded as inherited."""

ACTIVE_SHIFT = ("set", "restored")
"""What the shift is while coordinates count from a place that it has moved."""


@dataclass(frozen=True)
class Standing:
    """Where an axis stands: ``at`` machine mm (None: not known), and in what ``frame`` that was told.

    ``still``: what the frame's coordinates count from has not changed since.
    """

    at: float | None
    frame: str
    still: bool = True


@dataclass(frozen=True)
class InForce:
    """Modes by group, the line that set each, and where each axis stands, at one moment of a reading.

    ``modes`` has feed (mm/min), speed, spindle, coolant and override beside the modal groups.
    """

    modes: Mapping[str, str]
    lines: Mapping[str, int]
    mist: bool
    axes: Mapping[str, Standing]
    last_move: Move | None

    def get(self, group: str, default: str = "") -> str:
        return self.modes.get(group, default)

    def stated(self, group: str, default: str = "") -> str:
        """As :meth:`get`, of what the program itself has said."""
        return self.get(group, default) if group in self.lines else default
