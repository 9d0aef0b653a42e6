"""Strokes from the stand-off that set-up left: forward, cut, and back, the slide one plunge further on each time.

Held off they begin further back, and end at the same stand-off.
"""

from __future__ import annotations

from collections.abc import Iterator

from gen.dressers.lateral import each_plunge
from gen.dressers.stand_off_slide.keys import StandOffSlideKeys
from gen.dressers.task import Task
from gen.plan.expression import Num, Var
from gen.plan.node import Modes, Node, Remark, Travel


def strokes(dresser: StandOffSlideKeys, task: Task) -> Iterator[Node]:
    """Every stroke of one dress; the stand-off is the same after it as before."""
    axis, lanes = dresser.plunge_axis, task.lanes
    gap = task.grid.mm(dresser.stand_off)
    stroke = Num(dresser.sign * (gap.value + task.depth.value))
    back_all, back_gap = Num(-stroke.value), Num(-dresser.sign * gap.value)
    for number, before in each_plunge(task):
        yield from before
        advance = (number + 1) % len(lanes.offsets) == 0 or not lanes.stick_is_wider
        yield Modes((("distance", "incremental"),))
        yield Travel(axis, stroke, Var("feed"), relative=True)
        yield Travel(axis, back_gap if advance else back_all, relative=True)
        yield Modes((("distance", "absolute"),))


def dry_strokes(dresser: StandOffSlideKeys, task: Task) -> Iterator[Node]:
    """The strokes drawn back by clearance, the stick's tolerance and 1 mm, and at the end forward again."""
    gap = task.grid.mm(dresser.stand_off).value
    held_off = task.grid.mm(dresser.clearance + dresser.stick_tolerance + 1, "ceil").value
    back = dresser.sign * (task.depth.value + held_off)
    stroke = dresser.sign * (gap + task.depth.value)
    yield Remark("drawn back first")
    yield from _moved(dresser, Num(-back))
    for _, before in each_plunge(task, ", held off"):
        yield from before
        yield from _moved(dresser, Num(stroke), feed=True)
        yield from _moved(dresser, Num(-stroke))
    yield Remark("forward to the stand-off again")
    yield from _moved(dresser, Num(back), feed=True)


def _moved(dresser: StandOffSlideKeys, by: Num, *, feed: bool = False) -> Iterator[Node]:
    yield Modes((("distance", "incremental"),))
    yield Travel(dresser.plunge_axis, by, Var("feed") if feed else None, relative=True)
    yield Modes((("distance", "absolute"),))
