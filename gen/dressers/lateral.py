"""Where the lateral axis stands: on a lane, and with an inclined plunge on the middle of a wheel that gets smaller."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.task import Lateral, Task
from gen.physics.contact import lateral_drift
from gen.plan.expression import Var, constant, on_grid, positive_shift, scaled
from gen.plan.node import Node, Travel


def to_lane(task: Task, index: int) -> Iterator[Node]:
    """The lateral axis to lane or station ``index``; nothing where no axis moves that way."""
    lateral = task.lateral
    if lateral is None:
        return
    place = lateral.centre + lateral.sign * Decimal(repr(task.lanes.offsets[index])) - task.offset(lateral.axis)
    yield _following(task, lateral, place) if lateral.follows else Travel(lateral.axis, task.grid.mm(place))


def to_next_lane(task: Task) -> Iterator[Node]:
    """The lateral axis to the lane whose number from 1 the plan's variable ``lane`` holds."""
    lateral, grid = task.lateral, task.grid
    assert lateral is not None
    unit = float(grid.mm_per_unit)
    before = float(lateral.centre - task.offset(lateral.axis)) + lateral.sign * (
        task.lanes.offsets[0] - task.lanes.pitch
    )
    last = before + lateral.sign * task.lanes.pitch * len(task.lanes.offsets)
    shift = positive_shift(min(before, last) / unit)
    start = constant(before / unit, grid.digits) + shift
    aside = scaled(Var("lane"), task.lanes.pitch / unit, grid.digits)
    place = start + aside if lateral.sign > 0 else start - aside
    yield Travel(lateral.axis, on_grid("round", place, grid.length) - shift)


def _following(task: Task, lateral: Lateral, place: Decimal) -> Travel:
    """To ``place``, mm, and as far on as the wheel has worn: D/2 · tan α less than new."""
    grid = task.grid
    unit = float(grid.mm_per_unit)
    worn, new = (float(size) for size in task.sizes)
    aside = lateral_drift(task.geometry, new, Var("size"), mm_per_unit=unit, digits=grid.digits)
    least = (float(place) + min(0.0, lateral.follows * lateral_drift(task.geometry, new, worn))) / unit
    shift = positive_shift(least)
    start = constant(float(place) / unit, grid.digits) + shift
    moved = start + aside if lateral.follows > 0 else start - aside
    return Travel(lateral.axis, on_grid("round", moved, grid.length) - shift)
