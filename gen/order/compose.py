"""From recipe, machine and grid to the plan of one dress.

Order and direction of everything that moves is decided here, once, for every
control: modes stated, plunge axis parked, guards, other axes one at a time,
spindle and coolant with their waits, then plunge and straight retract.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from gen.dressers.task import Abilities
from gen.order.closing import count, lock, stop, under_way
from gen.order.counting import counted
from gen.order.gap_check import gap_check
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
    at one state. ``ending`` is what a block within a grinding program ends with, in place of a free one's own.
    ``say`` gives what the control shows for a notice.
    """
    setting = Setting(dress, dress.first, grid, abilities, registers, edition, say)
    nodes = tuple(_dress(setting, ending) if edition.spins else gap_check(setting))
    if edition.counts:
        nodes = tuple(counted(setting, nodes))
    offset = setting.dresser.offset
    return Plan(
        (*nodes, *((Finish(),) if edition.form == "program" else ())),
        mm_per_unit=grid.mm_per_unit,
        registers=dress.register_numbers if registers else {},
        offsets={} if offset is None else {axis: float(value) for axis, value in offset.values.items()},
        frame="machine" if offset is None else offset.word,
    )


def _dress(setting: Setting, ending: Sequence[Node] | None) -> Iterator[Node]:
    """One dress in order; what depends on a register comes behind its guards."""
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
    yield from _other_wheels(setting)
    yield from lock(setting, False)
    yield from count(setting)
    yield from warned(setting)
    yield from way_out(setting)


def _plunges(setting: Setting) -> Iterator[Node]:
    """The plunges into the wheel in hand, in the way of the dresser's kind."""
    dresser, task = setting.dresser, setting.task
    return dresser.plunges(task) if setting.edition.dresses else dresser.held_off(task)


def _other_wheels(setting: Setting) -> Iterator[Node]:
    """The wheels of a pack behind the first, each with its own speed, feed and lanes."""
    for wheel in setting.dress.wheels[1:]:
        there = replace(setting, wheel=wheel)
        yield from next_wheel(there)
        yield from _plunges(there)
