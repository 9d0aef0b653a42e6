"""The wheel never turns faster than marked: its marked rpm, and its marked speed at the diameter it had when new.

Why: Above its marking a wheel may burst. The limit is never relaxed for a worn wheel.
Example: The wheel would turn at 9700 rpm; its marking allows 9625 rpm, new or worn.
Helps: A lower wheel speed.
"""

import math
from functools import partial

from gen.bounds.kit import MOVING, NOISE, Dress, DressBlock, Found, Measure, bound
from gen.plan.step import Spindle


@bound("wheel-speed", intents=MOVING, needs="states")
def check(block: DressBlock, dress: Dress) -> Found:
    for _, step in block.steps(Spindle):
        if step.direction != "off":
            yield Measure(
                "marking",
                step.rpm,
                math.floor(dress.marked_rpm + NOISE),
                "most",
                "rotation",
                slack=dress.marked_rpm + NOISE - math.floor(dress.marked_rpm + NOISE),
                line=step.line,
                said=partial(_said, dress, step.rpm),
            )


def _said(dress: Dress, rpm: float) -> str:
    allowed = math.floor(dress.marked_rpm + NOISE)
    return f"the wheel would turn at {rpm:g} rpm; its marking allows {allowed} rpm, new or worn."
