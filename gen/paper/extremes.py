"""How far things go at the ends of wear and stick: what sheet and table of limits alike hold against a limit."""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING

from gen.plan.step import Move
from gen.shop.dress import Dress

if TYPE_CHECKING:
    from gen.paper.dressing import Dressing

NOTHING = 1e-6
"""A margin of less is none: what is left when numbers meant to be equal are subtracted."""


def visited(dresses: Iterable[Dressing]) -> dict[str, list[float]]:
    """Where each axis is in ``dresses``, mm or degrees; a move from a place that is not known leads to none."""
    places: dict[str, list[float]] = {}
    for dress in dresses:
        for axis, place in dress.state.positions.items():
            places.setdefault(axis, []).append(place)
        for step in dress.steps:
            if isinstance(step, Move):
                for axis in step.axes:
                    if axis in step.to:
                        places.setdefault(axis, []).append(step.to[axis])
    return places


def marked_speed(dress: Dress) -> int:
    """The most the spindle may turn by the wheels' marking, rpm: a whole revolution is what a program can ask for."""
    return math.floor(dress.marked_rpm + NOTHING)


def plunge_depths(dress: Dress) -> tuple[Decimal, Decimal]:
    """Least and greatest depth of a plunge, mm; they differ for a timed feeder."""
    return dress.dresser.depths(dress.settings.plunge)


def slot(dress: Dress) -> tuple[float, float] | None:
    """The slot that one lane cuts over the life of a stick, and the most that walls, rims and stand-off allow, mm."""
    if not dress.walls:
        return None
    rims = [float(wheel.rim_depth) for wheel in dress.recipe.wheels if wheel.rim_depth is not None]
    # drawn back by no more than its stand-off, the stick must come out of its own slot
    back = float(dress.machine.dresser.gap) if dress.dresser.set_up is not None else math.inf
    return float(dress.stick.length - dress.shortest_left), min(2 * min(dress.walls), *rims, back)
