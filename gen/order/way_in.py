"""The feed on the way to the wheel: no faster than the top of the band allows, so that a stick met early is no crash.

A wrong register or a forgotten new stick is met on this way. A machine file may
state the feed, and is then warned.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.physics.contact import plunge_feed
from gen.plan.expression import Condition, Expr, Num, Var, on_grid
from gen.plan.grid import Grid
from gen.plan.node import Let, Node, When
from gen.shop.wheel import Wheel

_ROUNDING = 0.01
"""Share by which a feed may be off because the speed is whole rpm; within it a limit is written as a condition."""


def way_in(wheel: Wheel, grid: Grid) -> Num | Var:
    """What the plan writes as the feed on the way to ``wheel``; 0 where the way is part of each plunge."""
    most = _most(wheel)
    if most is None:
        return Num(Decimal(0))
    if wheel.machine.dresser.stated_approach is not None or min(_tops(wheel)) > float(most) * (1 + _ROUNDING):
        return grid.mm_min(most, "floor")
    return Var("approach")


def worked_out(wheel: Wheel, grid: Grid, diameter: Expr, label: Iterator[int]) -> Iterator[Node]:
    """The variable that :func:`way_in` names, if it does, for a wheel whose nominal ``diameter`` is known then."""
    most = _most(wheel)
    if most is None or not isinstance(way_in(wheel, grid), Var):
        return
    top = float(wheel.settings.band[1]) * wheel.slowest_share
    feed = plunge_feed(top, diameter, Var("rpm"), angle_deg=float(wheel.angle), digits=grid.digits)
    yield Let("approach", on_grid("floor", feed, grid.feed), "approach feed, the top of the band")
    if max(_tops(wheel)) > float(most) * (1 - _ROUNDING):
        limit = grid.mm_min(most, "floor")
        let = Let("approach", limit, "no more than dresser and axis do")
        yield When(Condition("gt", Var("approach"), limit), next(label), (let,))


def _most(wheel: Wheel) -> Decimal | None:
    """The most that dresser, axis and machine file allow on the way in, mm/min."""
    return wheel.machine.dresser.approach_limit(wheel.machine.axis_feed)


def _tops(wheel: Wheel) -> tuple[float, ...]:
    """The feed at the top of the band with the worn wheel and with the new one, mm/min."""
    return tuple(wheel.top_feed(float(size), wheel.rpm(float(size))) for size in wheel.size_range)
