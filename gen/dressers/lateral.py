"""Plunges lane by lane: where the lateral axis stands, with an inclined one on the middle of a wheel that wears."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.task import Lateral, Task
from gen.physics.contact import lateral_drift
from gen.plan.expression import Var, constant, place_on_grid, scaled
from gen.plan.node import Node, Remark, Travel


def to_lane(task: Task, index: int) -> Iterator[Node]:
    """The lateral axis to lane or station ``index``; nothing where no axis moves that way."""
    lateral = task.lateral
    if lateral is None:
        return
    place = lateral.centre + lateral.sign * Decimal(repr(task.lanes.offsets[index])) - task.offset(lateral.axis)
    yield _following(task, lateral, place) if lateral.follows else Travel(lateral.axis, task.grid.mm(place))


def each_plunge(task: Task, how: str = "") -> Iterator[tuple[int, tuple[Node, ...]]]:
    """Every plunge into one wheel, lane by lane: its number from 0, and the way and the remark that come before it."""
    count = len(task.lanes.offsets)
    total = task.plunges * count
    for number in range(total):
        moved = to_lane(task, number % count) if number and count > 1 else ()
        yield number, (*moved, Remark(f"plunge {number + 1} of {total}{how}"))


def to_next_lane(task: Task) -> Iterator[Node]:
    """The lateral axis to the lane whose number from 1 the plan's variable ``lane`` holds."""
    lateral, grid = task.lateral, task.grid
    assert lateral is not None
    unit = float(grid.mm_per_unit)
    before = float(lateral.centre - task.offset(lateral.axis)) + lateral.sign * (
        task.lanes.offsets[0] - task.lanes.pitch
    )
    last = before + lateral.sign * task.lanes.pitch * len(task.lanes.offsets)
    start, least = constant(before / unit, grid.digits), min(before, last) / unit
    aside = scaled(Var("lane"), task.lanes.pitch / unit, grid.digits)
    yield Travel(lateral.axis, place_on_grid("round", start, aside, lateral.sign, least, grid.length))


def _following(task: Task, lateral: Lateral, place: Decimal) -> Travel:
    """To ``place``, mm, and as far on as the wheel has worn: D/2 · tan α less than new."""
    grid = task.grid
    unit = float(grid.mm_per_unit)
    worn, new = (float(size) for size in task.sizes)
    aside = lateral_drift(task.geometry, new, Var("size"), mm_per_unit=unit, digits=grid.digits)
    least = (float(place) + min(0.0, lateral.follows * lateral_drift(task.geometry, new, worn))) / unit
    start = constant(float(place) / unit, grid.digits)
    return Travel(lateral.axis, place_on_grid("round", start, aside, lateral.follows, least, grid.length))
