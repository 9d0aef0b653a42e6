from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from creep_slide.keys import CreepSlideKeys
from gen.dressers.task import Task, times_unit
from gen.physics.contact import reach
from gen.plan.evaluate import settled
from gen.plan.expression import Num, Var, constant, on_grid
from gen.plan.node import Let, Node, Remark, Store, Travel


def creeps(dresser: CreepSlideKeys, task: Task) -> Iterator[Node]:
    axis, grid = dresser.plunge_axis, task.grid
    for number in range(task.plunges):
        yield Remark(f"plunge {number + 1} of {task.plunges}")
        distance = reach(task.geometry, Var("length"), Var("size"), digits=grid.digits)
        yield Let(
            "contact", on_grid("floor", constant(float(dresser.datum), grid.digits) - distance, grid.length), "contact"
        )
        yield Travel(axis, Var("contact") - grid.mm(dresser.clearance, "ceil"), task.approach)
        yield Travel(axis, Var("contact") + task.depth, Var("feed"))
        yield Travel(axis, grid.mm(dresser.parked))
        left = Var("length") - task.depth
        if task.writes:
            yield from task.abilities.wait_for_motion()
            yield Store("stick_length", times_unit(left, grid.mm_per_unit / task.register_unit))
        if number + 1 < task.plunges:
            yield Let("length", left, "stick length")


def creeps_held_off(dresser: CreepSlideKeys, task: Task) -> Iterator[Node]:
    off = 2 * dresser.clearance + dresser.stick_tolerance + 1
    end = task.grid.mm(Decimal(repr(settled(task.earliest or 0.0))) - off, "floor")
    for number in range(task.plunges):
        yield Remark(f"plunge {number + 1} of {task.plunges}, held off")
        yield Travel(dresser.plunge_axis, Num(end.value), Var("feed"))
        yield Travel(dresser.plunge_axis, task.grid.mm(dresser.parked))
