"""The plunges of a slide with a datum, held off: the same order and feeds, and no contact whatever the registers say.

Their deepest point stays off the envelope, which already stays a clearance off
the new wheel and the full stick.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.base.errors import DressblockError
from gen.base.quantities import show
from gen.dressers.datum_slide.keys import DatumSlideKeys
from gen.dressers.datum_slide.plunges import clearance, envelope, park
from gen.dressers.lateral import each_plunge
from gen.dressers.task import Task
from gen.plan.expression import Num, Var
from gen.plan.node import Node, Travel


def dry_plunges(dresser: DatumSlideKeys, task: Task) -> Iterator[Node]:
    """The plunges drawn back behind the envelope by clearance, the stick's tolerance and 1 mm."""
    axis = dresser.plunge_axis
    held_off = task.grid.mm(dresser.clearance + dresser.stick_tolerance + 1, "ceil")
    end = Num(envelope(dresser, task).value - dresser.sign * held_off.value)
    stroke = clearance(dresser, task).value + task.depth.value
    start = Num(_no_further_than_parked(dresser, task, end.value - dresser.sign * stroke))
    if dresser.sign * (end.value - start.value) <= 0:
        limit = show(end.value * task.grid.mm_per_unit + task.offset(axis), "length", task.units)
        raise DressblockError(
            f"parked too near to be held off: a prove-out wants {axis} parked further back than {limit}.",
            key="dresser.parked",
        )
    for _, before in each_plunge(task, ", held off"):
        yield from before
        yield Travel(axis, start)
        yield Travel(axis, end, Var("feed"))
        yield park(dresser, task)


def _no_further_than_parked(dresser: DatumSlideKeys, task: Task, position: Decimal) -> Decimal:
    parked = park(dresser, task).target
    assert isinstance(parked, Num)
    return max(position, parked.value) if dresser.sign > 0 else min(position, parked.value)
