"""From recipe, machine and grid to the plan of one dress.

Order and direction of everything that moves is decided here, once, for every
control: modes stated, plunge axis parked, guards, other axes one at a time,
spindle and coolant with their waits, then plunge and straight retract.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from gen.base.errors import DressblockError
from gen.dressers.task import Abilities
from gen.order.closing import count, lock, stop, under_way
from gen.order.counting import counted
from gen.order.guards import guarded
from gen.order.notice import Notice
from gen.order.opening import along, next_wheel, opening, start, way_out
from gen.order.setting import Setting
from gen.order.speeds import quantities
from gen.order.turns import lane
from gen.order.warning import left_out, warned
from gen.plan.grid import Grid
from gen.plan.node import Finish, Node, Plan
from gen.shop.dress import Dress
from gen.shop.edition import Edition


def compose(
    dress: Dress,
    grid: Grid,
    abilities: Abilities,
    *,
    registers: bool,
    edition: Edition,
    say: Callable[[Notice], str],
    ending: Sequence[Node] | None = None,
) -> Plan:
    """The plan of ``dress``, of its prove-out or its gap check, as ``edition`` says.

    With ``registers`` the wheel and the stick are read from the machine's
    registers, guarded, and written back; without, the plan is to be resolved
    at one state. ``ending`` is what a dress within a grinding program ends with, in place of a free one's own.
    ``say`` gives what the control shows for a notice. :class:`DressblockError` where one gap could not be right.
    """
    if dress.turns and not edition.spins:
        raise DressblockError(
            'with lanes = "next" the lanes of a used stick differ in length, so that no one gap is right for all of '
            'them; check the gap with another recipe of this machine, or with lanes = "all" for that time.',
            key="dress.lanes",
        )
    setting = Setting(dress, dress.first, grid, abilities, registers, edition, say)
    nodes = tuple(_in_order(setting, ending if edition.spins else None))
    if edition.counts:
        nodes = tuple(counted(setting, nodes))
    offset = setting.dresser.offset
    frame = "machine" if offset is None else offset.word
    return Plan(
        (*nodes, *((Finish(),) if edition.form == "program" else ())),
        mm_per_unit=grid.mm_per_unit,
        registers=dress.register_numbers if registers else {},
        offsets=setting.dresser.held_offsets.get(frame, {}),
        frame=frame,
    )


def _in_order(setting: Setting, ending: Sequence[Node] | None) -> Iterator[Node]:
    """All of it in order; what depends on a register comes behind its guards."""
    yield from opening(setting)
    yield from setting.dresser.begin(setting.task)
    yield from guarded(
        setting,
        (
            *left_out(setting, tuple(_from_guards_to_way_out(setting))),
            *(stop(setting) if ending is None else ending),
        ),
    )


def _from_guards_to_way_out(setting: Setting) -> Iterator[Node]:
    yield from quantities(setting)
    yield from lane(setting)
    yield from along(setting, setting.dress.ways.to[0])
    yield from start(setting)
    yield from under_way(setting, True)
    yield from lock(setting, True)
    yield from _plunges(setting)
    for wheel in setting.dress.wheels[1:]:
        there = replace(setting, wheel=wheel)
        yield from next_wheel(there)
        yield from _plunges(there)
    yield from lock(setting, False)
    yield from count(setting)
    yield from warned(setting)
    yield from way_out(setting)


def _plunges(setting: Setting) -> Iterator[Node]:
    """What the stick does at the wheel in hand, in the way of the dresser's kind."""
    dresser, task = setting.dresser, setting.task
    match setting.edition.purpose:
        case "dress":
            return dresser.plunges(task)
        case "prove-out":
            return dresser.held_off(task)
        case "gap-check":
            return dresser.gap_check(task)
