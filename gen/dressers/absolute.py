"""Plunges from a measured datum: the contact is worked out from wheel and stick, and moves on as the stick shortens."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.lateral import to_lane
from gen.dressers.setting import Setting, times_unit
from gen.physics.contact import reach
from gen.physics.end_face import EndFace
from gen.physics.visits import LEVEL, Visit, visited
from gen.plan.evaluate import settled
from gen.plan.expression import Expr, Num, Var, constant, on_grid, positive_shift
from gen.plan.node import Let, Node, Remark, Store, Travel


def plunges(setting: Setting) -> Iterator[Node]:
    """Every plunge into one wheel, lane by lane, each with its straight retract."""
    count = len(setting.wheel.lanes.offsets)
    visits = _visits(setting)
    met: float | None = None
    for number, visit in enumerate(visits):
        last = number == len(visits) - 1
        if number and count > 1:
            yield from to_lane(setting, visit.bite.lane)
        yield Remark(f"plunge {number + 1} of {len(visits)}")
        if met is None or abs(visit.contact - met) > LEVEL:
            yield Let("contact", _contact(setting, _mm(setting, visit.contact)), "contact")
        yield from _plunge(setting, park_after=count > 1 or last)
        met = visit.contact - visit.lowered
        if visit.lowered > LEVEL:
            yield from _shorter(setting, _mm(setting, visit.lowered), last=last and setting.last_wheel)


def _visits(setting: Setting) -> list[Visit]:
    """The visits to this wheel, in the dress of all of them, with the depth that the program writes."""
    dress = setting.dress
    depth = float(setting.depth.value * setting.grid.mm_per_unit)
    visits, _ = visited(EndFace.flat(dress.footprint), dress.bites(depth))
    return [visit for visit in visits if visit.bite.wheel == setting.wheel.index]


def _mm(setting: Setting, value: float) -> Num:
    return setting.grid.mm(Decimal(repr(settled(value))))


def _plunge(setting: Setting, *, park_after: bool) -> Iterator[Node]:
    """Rapid to the envelope, feed to the clearance before contact, plunge, and straight back."""
    contact = Var("contact")
    forward = setting.sign > 0
    start = contact - setting.clearance if forward else contact + setting.clearance
    end = contact + setting.depth if forward else contact - setting.depth
    far = envelope(setting)
    if setting.dresser.approach == "envelope":
        yield Travel(setting.axis, far)
        yield Travel(setting.axis, start, _approach_feed(setting))
    else:
        yield Travel(setting.axis, start)
    yield Travel(setting.axis, end, Var("feed"))
    yield setting.park() if park_after else Travel(setting.axis, far)


def envelope(setting: Setting) -> Num:
    """The furthest a rapid may go whatever the registers say: short of the new wheel and the full stick."""
    earliest = Decimal(repr(settled(setting.dress.earliest_contact))) - setting.offset(setting.axis)
    return Num(setting.grid.mm(earliest, setting.away).value - setting.sign * setting.clearance.value)


def _approach_feed(setting: Setting) -> Num:
    most = setting.dress.machine.axes[setting.axis].max_feed
    return setting.grid.mm_min(min(setting.dresser.feed[1], most), "floor")


def _contact(setting: Setting, shorter: Num) -> Expr:
    """The contact position on the grid, rounded away from the wheel, where the stick is ``shorter`` than its length.

    Where it may be negative it is shifted by a whole number first.
    """
    assert setting.dresser.datum is not None
    unit, digits = setting.grid.mm_per_unit, setting.grid.digits
    length = Var("length") - shorter if shorter.value else Var("length")
    distance = reach(setting.wheel.geometry, length, Var("size"), mm_per_unit=float(unit), digits=digits)
    datum = constant(float((setting.dresser.datum - setting.offset(setting.axis)) / unit), digits)
    shift = _shift(setting)
    raw = (datum + shift) - distance if setting.sign > 0 else (datum + shift) + distance
    return on_grid(setting.away, raw, setting.grid.length) - shift


def _shift(setting: Setting) -> int:
    """A whole number that makes every contact of this recipe positive; 0 where they are so already."""
    dress, wheel = setting.dress, setting.wheel
    sizes = [float(size) for size in wheel.size_range]
    lengths = [float(dress.shortest_left), float(dress.length_range[1])]
    nearest = min(wheel.contact(size, length) for size in sizes for length in lengths)
    least = (nearest - float(setting.offset(setting.axis))) / float(setting.grid.mm_per_unit)
    return positive_shift(least)


def _shorter(setting: Setting, by: Num, *, last: bool) -> Iterator[Node]:
    """The stick is shorter ``by`` so much: in its register once the motion has ended, and for the next plunge."""
    left = Var("length") - by
    if setting.write_back:
        yield from setting.wait_for_motion()
        yield Store("stick_length", times_unit(left, setting.grid.mm_per_unit / setting.dress.register_unit))
    if not last:
        yield Let("length", left, "stick length")
