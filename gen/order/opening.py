"""Before the first plunge: modes stated, other axes one at a time, spindle and coolant with their waits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gen.dressers.lateral import to_lane, to_next_lane
from gen.order.setting import Setting
from gen.order.speeds import quantities
from gen.plan.expression import Var, num
from gen.plan.node import Flood, Modes, Node, Pause, Remark, Travel, Turn, Wait
from gen.plan.step import ROTARY
from gen.shop.ways import Waypoint


def opening(setting: Setting) -> Iterator[Node]:
    """Every mode the block depends on, and everything that could shift a position, cancelled; a gap check at rest."""
    units = "mm" if setting.grid.mm_per_unit == 1 else "inch"
    offset = setting.dresser.offset
    yield Remark("every mode stated, offsets cancelled")
    yield Modes(
        (
            ("units", units),
            ("distance", "absolute"),
            ("feed_mode", "per-minute"),
            ("plane", "xy"),
            *setting.abilities.cancels,
            *(() if offset is None else (("work_offset", offset.word),)),
        )
    )
    if not setting.edition.spins:
        yield Remark("spindle and coolant off: this is no dress")
        yield Turn(num(0), "off")
        yield Flood(False)


def way_out(setting: Setting) -> Iterator[Node]:
    """The stick parked, the other axes go out through the last wheel's points; nothing where it has none."""
    if setting.dress.ways.out:
        yield Remark("the way out")
        yield from along(setting, setting.dress.ways.out)


def along(setting: Setting, way: Sequence[Waypoint]) -> Iterator[Node]:
    """Along ``way``, one axis at a time."""
    for point in way:
        if point.place is None:
            yield from to_next_lane(setting.task) if setting.one_lane else to_lane(setting.task, 0)
            continue
        place = point.place - setting.task.offset(point.axis)
        target = setting.grid.degrees(place) if point.axis in ROTARY else setting.grid.mm(place)
        yield Travel(point.axis, target)


def start(setting: Setting) -> Iterator[Node]:
    """The wheel at dress speed after its full wait, unless it had that, and coolant flowing after its own.

    In a gap check the wheel comes to a stand instead.
    """
    spindle = setting.dress.machine.spindle
    if not setting.edition.spins:
        yield Wait(setting.grid.seconds(spindle.spin_up), "wheel comes to a stand")
        yield Pause("look: wheel stands still, other axes in place, stick parked")
        return
    if setting.edition.purpose == "prove-out":
        yield Pause("look: other axes in place, stick parked")
    at_speed = setting.edition.at_speed
    yield Remark("wheel at dress speed, which the program has waited for" if at_speed else "wheel at dress speed")
    yield Turn(Var("rpm"), spindle.direction)
    if not at_speed:
        yield Wait(setting.grid.seconds(spindle.spin_up), "spindle at speed")
    if setting.edition.purpose == "prove-out":
        yield Pause("look: wheel turns so that it presses the stick onto its support")
    if setting.dress.settings.coolant:
        yield Flood(True)
        if setting.dresser.coolant_wait:  # on some controls a dwell of 0 s is the word that waits for motion
            yield Wait(setting.grid.seconds(setting.dresser.coolant_wait), "coolant on the stick")
        if setting.edition.purpose == "prove-out":
            yield Pause("look: coolant hits the stick")


def next_wheel(setting: Setting) -> Iterator[Node]:
    """The stick parked, to the next wheel of a pack, first lane first, at its speed where that is another one."""
    wheel = setting.wheel
    yield Remark(f"wheel {wheel.number} of {wheel.count}")
    if setting.registers:
        yield from setting.abilities.wait_for_motion()
    yield from quantities(setting)
    yield from along(setting, setting.dress.ways.to[wheel.index])
    speed, before = wheel.settings.speed, setting.dress.wheels[wheel.index - 1].settings.speed
    if setting.edition.spins and (speed is None or speed != before):
        spindle = setting.dress.machine.spindle
        yield Turn(Var("rpm"), spindle.direction)
        yield Wait(setting.grid.seconds(spindle.spin_up), "spindle at speed")
