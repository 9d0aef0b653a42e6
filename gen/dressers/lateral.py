"""Where the lateral axis stands: on a lane, and with an inclined plunge on the middle of a wheel that gets smaller."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.setting import Setting
from gen.physics.contact import drift
from gen.plan.expression import Var, constant, on_grid, positive_shift
from gen.plan.node import Node, Travel


def to_lane(setting: Setting, index: int) -> Iterator[Node]:
    """The lateral axis to lane or station ``index``; nothing where no axis moves that way."""
    wheel, axis, centre = setting.wheel, setting.dresser.lateral_axis, setting.wheel.keys.lateral
    if axis is None or centre is None:
        return
    offset = Decimal(repr(wheel.lanes.offsets[index]))
    place = centre + wheel.lateral_sign * offset - setting.offset(axis)
    yield _following(setting, axis, place) if wheel.recentre_sign else Travel(axis, setting.grid.mm(place))


def _following(setting: Setting, axis: str, place: Decimal) -> Travel:
    """To ``place``, mm, and as far on as the wheel has worn: D/2 · tan α less than new."""
    wheel, grid = setting.wheel, setting.grid
    unit = float(grid.mm_per_unit)
    worn, new = (float(size) for size in wheel.size_range)
    aside = drift(wheel.geometry, new, Var("size"), mm_per_unit=unit, digits=grid.digits)
    least = (float(place) + min(0.0, wheel.recentre_sign * wheel.drift(worn))) / unit
    shift = positive_shift(least)
    start = constant(float(place) / unit, grid.digits) + shift
    moved = start + aside if wheel.recentre_sign > 0 else start - aside
    return Travel(axis, on_grid("round", moved, grid.length) - shift)
