"""Strokes from the stand-off that set-up left: forward, cut, and back, the slide one plunge further on each time."""

from __future__ import annotations

from collections.abc import Iterator

from gen.dressers.lateral import to_lane
from gen.dressers.setting import Setting
from gen.plan.expression import Num, Var
from gen.plan.node import Modes, Node, Remark, Travel


def strokes(setting: Setting) -> Iterator[Node]:
    """Every stroke of one dress; the stand-off is the same after it as before."""
    assert setting.dresser.stand_off is not None
    lanes = setting.wheel.lanes
    count = len(lanes.offsets)
    gap = setting.grid.mm(setting.dresser.stand_off)
    stroke = Num(setting.sign * (gap.value + setting.depth.value))
    back_all, back_gap = Num(-stroke.value), Num(-setting.sign * gap.value)
    total = setting.dress.settings.plunges * count
    for visit in range(total):
        lane = visit % count
        if visit and count > 1:
            yield from to_lane(setting, lane)
        yield Remark(f"plunge {visit + 1} of {total}")
        advance = lane == count - 1 or not lanes.stick_is_wider
        yield Modes((("distance", "incremental"),))
        yield Travel(setting.axis, stroke, Var("feed"), relative=True)
        yield Travel(setting.axis, back_gap if advance else back_all, relative=True)
        yield Modes((("distance", "absolute"),))
