"""From recipe, machine and grid to the plan of one dress.

Order and direction of everything that moves is decided here, once, for every
control: modes stated, plunge axis parked, guards, other axes one at a time,
spindle and coolant with their waits, then plunge and straight retract.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal

from gen.compose.absolute import plunges
from gen.compose.closing import count, lock, stop, under_way
from gen.compose.guards import guarded
from gen.compose.incremental import strokes
from gen.compose.opening import opening, other_axes, start
from gen.compose.setting import Abilities, Setting
from gen.compose.speeds import quantities
from gen.facts import Facts
from gen.grid import Grid
from gen.plan import Finish, Node, Plan, Remark

__all__ = ["Abilities", "Form", "compose"]

Form = Literal["program", "block", "subprogram"]

_MOTIONS: dict[str, Callable[[Setting], Iterator[Node]]] = {"absolute": plunges, "incremental": strokes}
"""How the stick is brought to the wheel, by the dresser's ``motion``."""


def compose(facts: Facts, grid: Grid, abilities: Abilities, *, registers: bool, form: Form) -> Plan:
    """The plan of the dress that ``facts`` describe.

    With ``registers`` the wheel and the stick are read from the machine's
    registers, guarded, and written back; without, the plan is to be resolved
    at one state.
    """
    setting = Setting(facts, grid, abilities, registers)
    offset = setting.dresser.offset
    return Plan(
        (*_dress(setting), *((Finish(),) if form == "program" else ())),
        mm_per_unit=grid.mm_per_unit,
        registers=facts.register_numbers if registers else {},
        offsets={} if offset is None else {axis: float(value) for axis, value in offset.values.items()},
        frame="machine" if offset is None else offset.word,
    )


def _dress(setting: Setting) -> Iterator[Node]:
    """One dress in order; what depends on a register comes behind its guards."""
    yield from opening(setting)
    if not setting.facts.incremental:
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
            *_MOTIONS[setting.dresser.motion](setting),
            *lock(setting, False),
            *count(setting),
            *stop(setting),
        ),
    )
