"""How far a program may be off a limit because its numbers are rounded."""

from __future__ import annotations

from gen.bounds.block import DressBlock
from gen.shop.dress import Dress

FEED_ROUNDING = 0.13
"""mm/min: half of 0.01 in/min, the coarsest step in which feeds are written."""

DWELL_ROUNDING = 0.01
"""s: two dwells, each half of 0.01 s off, the coarsest step in which the controls here write a dwell."""

RPM_ROUNDING = 0.5
"""rpm: half of a whole revolution, the step in which speeds are written."""


def dwell_slack(dress: Dress) -> float:
    """mm by which a depth that a dwell sets may differ from the planned one: what goes in :data:`DWELL_ROUNDING`."""
    valve = dress.dresser.valve
    return 0.0 if valve is None else DWELL_ROUNDING * float(valve.rate) / 60


def feed_slack(block: DressBlock, limit: float) -> float:
    """mm/min by which a feed may pass ``limit``: the feed follows a speed rounded to whole rpm, and is itself rounded.

    Without it a target that asks for exactly the limit would be refused for a
    fraction of a revolution.
    """
    slowest = block.slowest_turn
    return FEED_ROUNDING + (limit * RPM_ROUNDING / (slowest - RPM_ROUNDING) if slowest else 0.0)
