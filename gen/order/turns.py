"""One lane a dress: which lane it is, by how much the stick's length falls with it, and which lane comes next.

The register counts the dresses from 1, up over all lanes and, where lanes overlap, down again; then it starts anew.
The stick's length is that of its longest part, so that it falls with the last lane only.
"""

from __future__ import annotations

from collections.abc import Iterator

from gen.dressers.task import times_unit
from gen.order.setting import Setting
from gen.plan.expression import Condition, Expr, Var, num
from gen.plan.node import Let, Node, Store, When

_NEXT = Var("next_lane", "register")


def lane(setting: Setting) -> Iterator[Node]:
    """``lane``, the number from 1 of the one that this dress visits, and ``falls``, how much the length falls."""
    if not setting.one_lane:
        return
    turns, lanes = len(setting.dress.turns), len(setting.wheel.lanes.offsets)
    yield Let("lane", _NEXT, "lane")
    if turns > lanes:
        back = Let("lane", num(turns + 1) - Var("lane"), "on the way back")
        yield When(Condition("gt", Var("lane"), num(lanes)), next(setting.labels), (back,))
    yield Let("falls", num(0), "the stick is as long as before")
    grid, unit = setting.grid, setting.dress.register_unit
    depth: Expr = times_unit(grid.mm(setting.dress.settings.plunge), grid.mm_per_unit / unit)
    for last in range(lanes, turns + 1, lanes):
        falls = Let("falls", depth, "last lane, the stick falls")
        yield When(Condition("eq", _NEXT, num(last)), next(setting.labels), (falls,))


def count_lane(setting: Setting) -> Iterator[Node]:
    """The lane of the next dress into its register."""
    if not setting.one_lane:
        return
    first = Let("lane", num(1), "from the first lane again")
    yield Let("lane", _NEXT + 1, "next lane")
    yield When(Condition("gt", Var("lane"), num(len(setting.dress.turns))), next(setting.labels), (first,))
    yield Store("next_lane", Var("lane"))
