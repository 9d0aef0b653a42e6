"""After a dress: few dresses are left on the stick, and the operator is told."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.order.guards import REGISTER_STEP
from gen.order.notice import Notice
from gen.order.setting import Setting
from gen.plan.expression import Condition, Expr, Num, Rounded, Var, num, to_grid
from gen.plan.node import Node, Warn, When


def warned(setting: Setting) -> Iterator[Node]:
    """What is told once no more than ``warn_left`` dresses are left; the registers are written already."""
    most = setting.dress.settings.warn_left
    if most is None or not setting.write_back:
        return
    dress, abilities = setting.dress, setting.abilities
    taken, lanes = dress.stick_per_dress, len(setting.wheel.lanes.offsets)
    passes: Expr = num(most)
    if setting.one_lane:
        # the lanes that are cut already are dresses gone from the first of the passes that the length allows
        done = Var("lane") - 1
        passes = Rounded("floor", (done + num(most)) / num(lanes)) - Rounded("floor", done / num(lanes))
    low = _held(setting, dress.shortest_left + taken) + passes * _held(setting, taken)
    told = Warn(setting.say(Notice("stick-low", str(most))), abilities.shows, abilities.stick_low)
    yield When(Condition("lt", Var("stick_length", "register"), low), next(setting.labels), (told,))


def _held(setting: Setting, length: Decimal) -> Num:
    """``length`` mm as a register holds it, a trace less, so that its last digit makes no dress too few."""
    return Num(to_grid("floor", length / setting.dress.register_unit, REGISTER_STEP))
