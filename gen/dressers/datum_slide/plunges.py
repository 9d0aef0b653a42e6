"""Plunges from a measured datum: the contact is worked out from wheel and stick, and moves on as the stick shortens."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.datum_slide.keys import DatumSlideKeys
from gen.dressers.lateral import to_lane
from gen.dressers.task import Task, times_unit
from gen.physics.contact import reach
from gen.physics.visits import LEVEL
from gen.plan.evaluate import settled
from gen.plan.expression import Expr, Num, Rounding, Var, constant, further, place_on_grid
from gen.plan.node import Let, Node, Remark, Store, Travel


def plunge_nodes(dresser: DatumSlideKeys, task: Task) -> Iterator[Node]:
    """Every plunge into one wheel, lane by lane, each with its straight retract."""
    count = 1 if task.one_lane else len(task.lanes.offsets)
    met: float | None = None
    for number, visit in enumerate(task.visits):
        last = number == len(task.visits) - 1
        if number and count > 1:
            yield from to_lane(task, visit.bite.lane)
        yield Remark(f"plunge {number + 1} of {len(task.visits)}")
        if met is None or abs(visit.contact - met) > LEVEL:
            yield Let("contact", contact(dresser, task, _mm(task, visit.contact)), "contact")
        yield from _plunge(dresser, task, park_after=count > 1 or last)
        met = visit.contact - visit.lowered
        if visit.lowered > LEVEL:
            yield from _shorter(task, _mm(task, visit.lowered), last=last and task.last_wheel)


def park(dresser: DatumSlideKeys, task: Task) -> Travel:
    """The plunge axis to where it is parked."""
    return Travel(dresser.plunge_axis, task.grid.mm(dresser.parked - task.offset(dresser.plunge_axis)))


def envelope(dresser: DatumSlideKeys, task: Task) -> Num:
    """The furthest a rapid may go whatever the registers say: short of the new wheel and the full stick."""
    earliest = Decimal(repr(settled(task.earliest or 0.0))) - task.offset(dresser.plunge_axis)
    return Num(task.grid.mm(earliest, _away(dresser)).value - dresser.sign * clearance(dresser, task).value)


def clearance(dresser: DatumSlideKeys, task: Task) -> Num:
    """The clearance as the program writes it."""
    return task.grid.mm(dresser.clearance, "ceil")


def _away(dresser: DatumSlideKeys) -> Rounding:
    """The rounding of a plunge-axis position that goes away from the wheel."""
    return "floor" if dresser.sign > 0 else "ceil"


def _mm(task: Task, value: float) -> Num:
    return task.grid.mm(Decimal(repr(settled(value))))


def _plunge(dresser: DatumSlideKeys, task: Task, *, park_after: bool) -> Iterator[Node]:
    """Rapid to the envelope, feed to the clearance before contact, plunge, and straight back."""
    axis, meets = dresser.plunge_axis, Var("contact")
    start, far = further(meets, clearance(dresser, task), -dresser.sign), envelope(dresser, task)
    if dresser.approach == "envelope":
        yield Travel(axis, far)
        yield Travel(axis, start, task.approach)
    else:
        yield Travel(axis, start)
    yield Travel(axis, further(meets, task.depth, dresser.sign), Var("feed"))
    yield park(dresser, task) if park_after else Travel(axis, far)


def contact(dresser: DatumSlideKeys, task: Task, shorter: Num) -> Expr:
    """The contact position on the grid, rounded away from the wheel, where the stick is ``shorter`` than its length."""
    unit, digits = task.grid.mm_per_unit, task.grid.digits
    length = Var("length") - shorter if shorter.value else Var("length")
    distance = reach(task.geometry, length, Var("size"), mm_per_unit=float(unit), digits=digits)
    datum = constant(float((dresser.datum - task.offset(dresser.plunge_axis)) / unit), digits)
    ends = [(float(size), float(length)) for size in task.sizes for length in task.lengths]
    contacts = (float(dresser.datum) - dresser.sign * reach(task.geometry, length, size) for size, length in ends)
    least = (min(contacts) - float(task.offset(dresser.plunge_axis))) / float(unit)
    return place_on_grid(_away(dresser), datum, distance, -dresser.sign, least, task.grid.length)


def _shorter(task: Task, by: Num, *, last: bool) -> Iterator[Node]:
    """The stick is shorter ``by`` so much: in its register once the motion has ended, and for the next plunge."""
    left = Var("length") - by
    if task.writes and not task.one_lane:
        yield from task.abilities.wait_for_motion()
        yield Store("stick_length", times_unit(left, task.grid.mm_per_unit / task.register_unit))
    if not last:
        yield Let("length", left, "stick length")
