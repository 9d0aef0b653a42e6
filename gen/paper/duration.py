"""How long a dress takes: its waits, and each move with the acceleration of its axis where that is known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from gen.plan.step import Dwell, Move, Step
from gen.shop.machine import Axis


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
            seconds += time_of(step, axes, here)
            here.update(step.to)
    return seconds


def time_of(move: Move, axes: Mapping[str, Axis], here: Mapping[str, float]) -> float:
    """Seconds, one axis after the other, with rapids at the machine file's limit.

    An axis that no file knows, or that starts from an unknown place, counts nothing, nor does a move without any feed.
    """
    return sum(
        move_time(
            abs(move.to[name] - here[name]),
            float(axes[name].max_rapid) if move.rate is None else move.rate,
            None if (most := axes[name].acceleration) is None else float(most),
        )
        for name in move.axes
        if name in axes and name in here and name in move.to and move.rate != 0
    )
