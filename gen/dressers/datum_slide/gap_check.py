"""The stick to a gap before a wheel that stands still, by what datum and registers say, so that the gap proves them.

No rapid goes toward the wheel: nobody knows yet where the wheel really is.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.base.quantities import show
from gen.dressers.datum_slide.keys import DatumSlideKeys
from gen.dressers.datum_slide.plunges import contact, park
from gen.dressers.task import Task
from gen.physics.contact import along_plunge
from gen.plan.expression import Num, Var, further
from gen.plan.node import Let, Node, Pause, Travel


def to_the_gap(dresser: DatumSlideKeys, task: Task) -> Iterator[Node]:
    """At a slow feed to the gap, a stop to measure it, and back."""
    gap = task.grid.mm(Decimal(repr(along_plunge(task.geometry, float(dresser.check_gap)))), "ceil")
    yield Let("contact", contact(dresser, task, Num(Decimal(0))), "contact")
    yield Travel(dresser.plunge_axis, further(Var("contact"), gap, -dresser.sign), task.approach)
    at = f" at wheel {task.number}" if task.number else ""
    yield Pause(f"measure the gap{at}: {show(dresser.check_gap, 'length', task.units)}")
    yield park(dresser, task)
