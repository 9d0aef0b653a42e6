"""The dress with the stick held off: the same order and feeds, and no contact whatever the registers say.

Its deepest point stays off the envelope, which already stays a clearance off
the new wheel and the full stick. Nothing is written and nothing is counted;
overrides are free, and the stops come with the stick parked or at its
stand-off.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.base.errors import DressblockError
from gen.base.quantities import show
from gen.dressers.absolute import envelope
from gen.dressers.lateral import to_lane
from gen.dressers.setting import Setting
from gen.plan.expression import Num, Var
from gen.plan.node import Modes, Node, Remark, Travel


def dry_plunges(setting: Setting) -> Iterator[Node]:
    """The plunges of an absolute dresser, drawn back behind the envelope."""
    count = len(setting.wheel.lanes.offsets)
    total = setting.dress.settings.plunges * count
    end = Num(envelope(setting).value - setting.sign * setting.held_off.value)
    start = Num(_no_further_than_parked(setting, end.value - setting.sign * _stroke(setting)))
    if setting.sign * (end.value - start.value) <= 0:
        limit = show(end.value * setting.grid.mm_per_unit + setting.offset(setting.axis), "length", setting.units)
        raise DressblockError(
            f"parked too near to be held off: a prove-out wants {setting.axis} parked further back than {limit}.",
            key="dresser.parked",
        )
    for visit in range(total):
        if visit and count > 1:
            yield from to_lane(setting, visit % count)
        yield Remark(f"plunge {visit + 1} of {total}, held off")
        yield Travel(setting.axis, start)
        yield Travel(setting.axis, end, Var("feed"))
        yield setting.park()


def _stroke(setting: Setting) -> Decimal:
    """The length of one plunge from its clearance on, in the program's unit."""
    return setting.clearance.value + setting.depth.value


def _no_further_than_parked(setting: Setting, position: Decimal) -> Decimal:
    parked = setting.park().target
    assert isinstance(parked, Num)
    return max(position, parked.value) if setting.sign > 0 else min(position, parked.value)


def dry_strokes(setting: Setting) -> Iterator[Node]:
    """The strokes of an incremental dresser, begun further back and ended at the same stand-off."""
    assert setting.dresser.stand_off is not None
    count = len(setting.wheel.lanes.offsets)
    total = setting.dress.settings.plunges * count
    gap = setting.grid.mm(setting.dresser.stand_off).value
    back = setting.sign * (setting.depth.value + setting.held_off.value)
    stroke = setting.sign * (gap + setting.depth.value)
    yield Remark("drawn back first")
    yield from _moved(setting, Num(-back))
    for visit in range(total):
        if visit and count > 1:
            yield from to_lane(setting, visit % count)
        yield Remark(f"plunge {visit + 1} of {total}, held off")
        yield from _moved(setting, Num(stroke), feed=True)
        yield from _moved(setting, Num(-stroke))
    yield Remark("forward to the stand-off again")
    yield from _moved(setting, Num(back), feed=True)


def _moved(setting: Setting, by: Num, *, feed: bool = False) -> Iterator[Node]:
    yield Modes((("distance", "incremental"),))
    yield Travel(setting.axis, by, Var("feed") if feed else None, relative=True)
    yield Modes((("distance", "absolute"),))
