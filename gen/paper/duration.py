"""How long a dress takes: its waits, and each move with the acceleration of its axis where that is known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from gen.plan.step import Dwell, Move, Step
from gen.shop.axes import Axis


def move_time(distance: float, speed: float, acceleration: float | None = None) -> float:
    """Seconds for ``distance`` mm from rest to rest at ``speed`` mm/min, with ``acceleration`` in mm/s².

    Without an acceleration d/v. With one the speed rises and falls as a
    trapezium, d/v + v/a, or where v is never reached as a triangle, 2 √(d/a)
    (textbook kinematics). For a rotary axis degrees stand in place of mm.
    """
    per_second = speed / 60
    if acceleration is None:
        return distance / per_second
    if distance * acceleration < per_second**2:
        return 2 * math.sqrt(distance / acceleration)
    return distance / per_second + per_second / acceleration


def dress_time(steps: Iterable[Step], axes: Mapping[str, Axis], start: Mapping[str, float]) -> float:
    """Seconds from the first step to the last, with the axes of ``start`` (mm) where it says.

    A move from a place that is not known counts nothing; nor does the time a
    control takes to work out a line.
    """
    here = dict(start)
    seconds = 0.0
    for step in steps:
        if isinstance(step, Dwell):
            seconds += step.seconds
        elif isinstance(step, Move):
            seconds += sum(_axis_time(step, name, axes[name], here) for name in step.axes)
            here.update(step.to)
    return seconds


def _axis_time(move: Move, name: str, axis: Axis, here: Mapping[str, float]) -> float:
    if name not in here or name not in move.to:
        return 0.0
    speed = float(axis.max_rapid) if move.rate is None else move.rate
    acceleration = None if axis.acceleration is None else float(axis.acceleration)
    return move_time(abs(move.to[name] - here[name]), speed, acceleration)
