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
    facts, axis, centre = setting.facts, setting.dresser.lateral_axis, setting.facts.wheel.lateral
    if axis is None or centre is None:
        return
    offset = Decimal(repr(facts.lanes.offsets[index]))
    place = centre + facts.lateral_sign * offset - setting.offset(axis)
    yield _following(setting, axis, place) if facts.recentre_sign else Travel(axis, setting.grid.mm(place))


def _following(setting: Setting, axis: str, place: Decimal) -> Travel:
    """To ``place``, mm, and as far on as the wheel has worn: D/2 · tan α less than new."""
    facts, grid = setting.facts, setting.grid
    unit = float(grid.mm_per_unit)
    worn, new = (float(size) for size in facts.size_range)
    aside = drift(facts.geometry, new, Var("size"), mm_per_unit=unit, digits=grid.digits)
    least = (float(place) + min(0.0, facts.recentre_sign * facts.drift(worn))) / unit
    shift = positive_shift(least)
    start = constant(float(place) / unit, grid.digits) + shift
    moved = start + aside if facts.recentre_sign > 0 else start - aside
    return Travel(axis, on_grid("round", moved, grid.length) - shift)
