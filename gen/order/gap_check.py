"""The gap check: spindle and coolant off, and the stick short of each wheel, where somebody measures the gap.

It proves the datum, so that no rapid toward a wheel counts on the datum here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from gen.base.errors import DressblockError
from gen.order.closing import stop
from gen.order.guards import guarded
from gen.order.opening import along, next_wheel, opening, way_out
from gen.order.setting import Setting
from gen.order.speeds import quantities
from gen.plan.expression import num
from gen.plan.node import Flood, Node, Pause, Remark, Turn, Wait


def gap_check(setting: Setting) -> Iterator[Node]:
    """One gap check in order; what depends on a register comes behind its guards.

    :class:`DressblockError` where the stick's end is not level when a dress begins.
    """
    dress, dresser = setting.dress, setting.dresser
    if dress.turns:
        raise DressblockError(
            'with lanes = "next" the lanes of a used stick differ in length, so that no one gap is right for all of '
            'them; check the gap with another recipe of this machine, or with lanes = "all" for that time.',
            key="dress.lanes",
        )
    yield from opening(setting)
    yield Remark("spindle and coolant off: this is no dress")
    yield Turn(num(0), "off")
    yield Flood(False)
    yield from dresser.begin(setting.task)
    yield from guarded(
        setting,
        (
            *quantities(setting),
            *along(setting, dress.ways.to[0]),
            Wait(setting.grid.seconds(dress.machine.spindle.spin_up), "wheel comes to a stand"),
            Pause("look: wheel stands still, other axes in place, stick parked"),
            *dresser.gap_check(setting.task),
            *_other_wheels(setting),
            *way_out(setting),
            *stop(setting),
        ),
    )


def _other_wheels(setting: Setting) -> Iterator[Node]:
    for wheel in setting.dress.wheels[1:]:
        there = replace(setting, wheel=wheel)
        yield from next_wheel(there)
        yield from there.dresser.gap_check(there.task)
