"""How far a program may be off a limit because its numbers are rounded."""

from __future__ import annotations

from gen.bounds.block import DressBlock

FEED_ROUNDING = 0.13
"""mm/min: half of 0.01 in/min, the coarsest step in which feeds are written."""

RPM_ROUNDING = 0.5
"""rpm: half of a whole revolution, the step in which speeds are written."""


def feed_slack(block: DressBlock, limit: float) -> float:
    """mm/min by which a feed may pass ``limit``: the feed follows a speed rounded to whole rpm, and is itself rounded.

    Without it a target that asks for exactly the limit would be refused for a
    fraction of a revolution.
    """
    slowest = block.slowest_turn
    return FEED_ROUNDING + (limit * RPM_ROUNDING / (slowest - RPM_ROUNDING) if slowest else 0.0)
