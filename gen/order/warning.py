"""What the operator is told while the program goes on: few dresses are left on the stick, or the dress is left out."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.order.guards import REGISTER_STEP
from gen.order.notice import Notice
from gen.order.setting import Setting
from gen.plan.expression import Condition, Expr, Num, Rounded, Var, num, to_grid
from gen.plan.node import Node, Telling, Warn, When


def warned(setting: Setting) -> Iterator[Node]:
    """What is told once no more than ``warn_left`` dresses are left; the registers are written already."""
    most = setting.dress.settings.warn_left
    if most is None or not setting.write_back:
        return
    dress = setting.dress
    taken, lanes = dress.stick_per_dress, len(setting.wheel.lanes.offsets)
    passes: Expr = num(most)
    if setting.one_lane:
        # the lanes that are cut already are dresses gone from the first of the passes that the length allows
        done = Var("lane") - 1
        passes = Rounded("floor", (done + num(most)) / num(lanes)) - Rounded("floor", done / num(lanes))
    low = _held(setting, dress.shortest_left + taken) + passes * _held(setting, taken)
    told = _telling(setting, Notice("stick-low", str(most)), "stick-low")
    yield When(Condition("lt", Var("stick_length", "register"), low), next(setting.labels), (told,))


def left_out(setting: Setting, dress: tuple[Node, ...]) -> Iterator[Node]:
    """``dress`` if the stick is long enough for it, else what is told instead, where the recipe asks to go on."""
    if not setting.registers or not setting.dress.leaves_out(setting.edition):
        yield from dress
        return
    least = Num(to_grid("floor", setting.dress.length_range[0] / setting.dress.register_unit, REGISTER_STEP))
    length, told = Var("stick_length", "register"), _telling(setting, Notice("stick-used-up"), "dress-left-out")
    yield When(Condition("lt", length, least), next(setting.labels), (told,))
    yield When(Condition("ge", length, least), next(setting.labels), dress)


def _telling(setting: Setting, notice: Notice, meaning: Telling) -> Warn:
    """What tells ``notice`` and goes on: a message, the machine's word for ``meaning``, or both."""
    able = setting.abilities
    return Warn(setting.say(notice), meaning, able.shows, meaning in able.tells)


def _held(setting: Setting, length: Decimal) -> Num:
    """``length`` mm as a register holds it, a trace less, so that its last digit makes no dress too few."""
    return Num(to_grid("floor", length / setting.dress.register_unit, REGISTER_STEP))
