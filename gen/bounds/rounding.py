"""How far a program may be off a limit because its numbers are rounded."""

from __future__ import annotations

from gen.bounds.case import Case
from gen.plan.step import Spindle

FEED_ROUNDING = 0.13
"""mm/min: half of 0.01 in/min, the coarsest step in which feeds are written."""

DWELL_ROUNDING = 0.01
"""s: two dwells, each half of 0.01 s off, the coarsest step in which the controls here write a dwell."""


def dwell_slack(case: Case) -> float:
    """mm by which a timed feeder's depth may differ from the planned one: what it goes in :data:`DWELL_ROUNDING`."""
    return DWELL_ROUNDING * float(case.known.valve.rate) / 60


def feed_slack(case: Case, limit: float) -> float:
    """mm/min by which a feed may pass ``limit``: the feed follows a speed rounded to whole rpm, and is itself rounded.

    Without it a target that asks for exactly the limit would be refused for a
    fraction of a revolution.
    """
    slowest = min((step.rpm for _, step in case.steps(Spindle) if step.rpm > 1), default=0.0)
    return FEED_ROUNDING + (limit * 0.5 / (slowest - 0.5) if slowest else 0.0)
