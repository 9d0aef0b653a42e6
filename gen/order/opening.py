"""Before the first plunge: modes stated, other axes one at a time, spindle and coolant with their waits."""

from __future__ import annotations

from collections.abc import Iterator

from gen.dressers.lateral import to_lane
from gen.order.setting import Setting
from gen.plan.expression import Var
from gen.plan.node import Flood, Modes, Node, Pause, Remark, Travel, Turn, Wait
from gen.plan.step import ROTARY


def opening(setting: Setting) -> Iterator[Node]:
    """Every mode the block depends on, and everything that could shift a position, cancelled."""
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


def other_axes(setting: Setting) -> Iterator[Node]:
    """The axes the datum depends on, in the order written, then the lateral axis."""
    for letter, position in setting.dresser.at.items():
        place = position - setting.offset(letter)
        yield Travel(letter, setting.grid.degrees(place) if letter in ROTARY else setting.grid.mm(place))
    yield from to_lane(setting.task, 0)


def start(setting: Setting) -> Iterator[Node]:
    """The wheel at dress speed after its full wait, coolant flowing after its own."""
    spindle = setting.dress.machine.spindle
    if setting.edition.purpose == "prove-out":
        yield Pause("look: other axes in place, stick parked")
    yield Remark("wheel at dress speed")
    yield Turn(Var("rpm"), spindle.direction)
    yield Wait(setting.grid.seconds(spindle.spin_up), "spindle at speed")
    if setting.edition.purpose == "prove-out":
        yield Pause("look: wheel turns so that it pushes the stick into its seat")
    if setting.dress.settings.coolant:
        yield Flood(True)
        if setting.dresser.coolant_wait:  # on some controls a dwell of 0 s is the word that waits for motion
            yield Wait(setting.grid.seconds(setting.dresser.coolant_wait), "coolant on the stick")
        if setting.edition.purpose == "prove-out":
            yield Pause("look: coolant hits the stick")


def next_wheel(setting: Setting, quantities: tuple[Node, ...]) -> Iterator[Node]:
    """The stick parked, to the next wheel of a pack: its first lane, and its speed where that is another one."""
    yield Remark(f"wheel {setting.wheel.index + 1} of {len(setting.dress.wheels)}")
    if setting.registers:
        yield from setting.wait_for_motion()
    yield from quantities
    yield from to_lane(setting.task, 0)
    before = setting.dress.wheels[setting.wheel.index - 1]
    if setting.wheel.settings.speed is None or setting.wheel.settings.speed != before.settings.speed:
        spindle = setting.dress.machine.spindle
        yield Turn(Var("rpm"), spindle.direction)
        yield Wait(setting.grid.seconds(spindle.spin_up), "spindle at speed")
