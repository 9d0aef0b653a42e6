"""One lane a dress: which lane it is, which lane comes next, and when the stick's length falls.

The register counts the dresses from 1, up over all lanes and, where lanes overlap, down again; then it starts anew.
The stick's length is that of its longest part: it falls at the end of the dress in the last lane, by all that a dress
takes. A dress that is broken off has changed neither, so that both are still right for the next one.
"""

from __future__ import annotations

from collections.abc import Iterator

from gen.dressers.task import times_unit
from gen.order.setting import Setting
from gen.plan.expression import Condition, Num, Var, num
from gen.plan.node import Let, Node, Store, When

_NEXT = Var("next_lane", "register")


def lane(setting: Setting) -> Iterator[Node]:
    """``lane``, the number from 1 of the one that this dress visits."""
    if not setting.one_lane:
        return
    turns, lanes = len(setting.dress.turns), len(setting.wheel.lanes.offsets)
    yield Let("lane", _NEXT, "lane")
    if turns > lanes:
        back = Let("lane", num(turns + 1) - Var("lane"), "on the way back")
        yield When(Condition("gt", Var("lane"), num(lanes)), next(setting.labels), (back,))


def lanes_counted(setting: Setting) -> Iterator[Node]:
    """After the last plunge: the stick's length less what the lanes took, if this was the last, and the next lane."""
    if not setting.one_lane:
        return
    dress, grid = setting.dress, setting.grid
    turns, lanes = len(dress.turns), len(setting.wheel.lanes.offsets)
    taken = Num(grid.mm(dress.settings.plunge).value * dress.settings.plunges)
    left = Var("stick_length", "register") - times_unit(taken, grid.mm_per_unit / dress.register_unit)
    for last in range(lanes, turns + 1, lanes):
        yield When(Condition("eq", _NEXT, num(last)), next(setting.labels), (Store("stick_length", left),))
    first = Let("lane", num(1), "from the first lane again")
    yield Let("lane", _NEXT + 1, "next lane")
    yield When(Condition("gt", Var("lane"), num(turns)), next(setting.labels), (first,))
    yield Store("next_lane", Var("lane"))
