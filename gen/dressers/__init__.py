"""From recipe, machine and grid to the plan of one dress.

Order and direction of everything that moves is decided here, once, for every
control: modes stated, plunge axis parked, guards, other axes one at a time,
spindle and coolant with their waits, then plunge and straight retract.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Literal

from gen.dressers.absolute import plunges
from gen.dressers.closing import count, lock, stop, under_way
from gen.dressers.counting import can_count, counted
from gen.dressers.guards import guarded
from gen.dressers.incremental import strokes
from gen.dressers.opening import next_wheel, opening, other_axes, start
from gen.dressers.prove_out import dry_plunges, dry_strokes
from gen.dressers.setting import Abilities, Setting
from gen.dressers.speeds import quantities
from gen.dressers.timed import dry_presses, presses, withdrawn
from gen.plan.grid import Grid
from gen.plan.node import Finish, Node, Plan, Remark
from gen.shop.dress import Dress

__all__ = ["Abilities", "Form", "compose"]

Form = Literal["program", "block", "subprogram"]

Motion = Callable[[Setting], Iterator[Node]]

_MOTIONS: dict[str, Motion] = {"absolute": plunges, "incremental": strokes, "timed": presses}
"""How the stick is brought to the wheel, by the dresser's ``motion``; a timed feeder has a way of its own."""

_HELD_OFF: dict[str, Motion] = {"absolute": dry_plunges, "incremental": dry_strokes, "timed": dry_presses}
"""The same with the stick held off."""


def compose(
    dress: Dress,
    grid: Grid,
    abilities: Abilities,
    *,
    registers: bool,
    form: Form,
    prove_out: bool = False,
    ending: Sequence[Node] | None = None,
) -> Plan:
    """The plan of ``dress``.

    With ``registers`` the wheel and the stick are read from the machine's
    registers, guarded, and written back; without, the plan is to be resolved
    at one state. ``prove_out`` holds the stick off and writes nothing. ``ending``
    is what a block within a grinding program ends with, in place of a free one's own.
    """
    setting = Setting(dress, dress.first, grid, abilities, registers, prove_out)
    setting = replace(setting, counts=form == "subprogram" and can_count(setting))
    nodes = tuple(_dress(setting, ending))
    if setting.counts:
        nodes = tuple(counted(setting, nodes))
    offset = setting.dresser.offset
    return Plan(
        (*nodes, *((Finish(),) if form == "program" else ())),
        mm_per_unit=grid.mm_per_unit,
        registers=dress.register_numbers if registers else {},
        offsets={} if offset is None else {axis: float(value) for axis, value in offset.values.items()},
        frame="machine" if offset is None else offset.word,
    )


def _dress(setting: Setting, ending: Sequence[Node] | None) -> Iterator[Node]:
    """One dress in order; what depends on a register comes behind its guards."""
    timed = setting.dress.timed
    motion = (_HELD_OFF if setting.prove_out else _MOTIONS)["timed" if timed else setting.dresser.motion]
    yield from opening(setting)
    if timed:
        yield from withdrawn(setting)
    elif not setting.dress.incremental:
        yield Remark("plunge axis parks first")
        yield setting.park()
    yield from guarded(
        setting,
        (
            *quantities(setting),
            *other_axes(setting),
            *start(setting),
            *under_way(setting, True),
            *lock(setting, True),
            *motion(setting),
            *_other_wheels(setting, motion),
            *lock(setting, False),
            *count(setting),
            *(stop(setting) if ending is None else ending),
        ),
    )


def _other_wheels(setting: Setting, motion: Motion) -> Iterator[Node]:
    """The wheels of a pack behind the first, each with its own speed, feed and lanes."""
    for wheel in setting.dress.wheels[1:]:
        there = replace(setting, wheel=wheel)
        yield from next_wheel(there, tuple(quantities(there)))
        yield from motion(there)
