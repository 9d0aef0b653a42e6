"""What every part of a plan is composed from: the dress, the grid, the control's abilities, and the intent."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from gen.plan.expression import Expr, Num, Rounding
from gen.plan.grid import INCH, Grid
from gen.plan.node import Node, Remark, Synchronise, Travel
from gen.shop.dress import Dress
from gen.shop.dresser import Dresser
from gen.shop.wheel import Wheel


@dataclass(frozen=True, slots=True)
class Abilities:
    """What a control offers the plan, apart from how it spells it."""

    cancels: tuple[tuple[str, str], ...]
    override_lock: bool
    synchronise: bool
    work_offsets: tuple[str, ...] = ()
    """The words of the work offsets, the one in force after switching on first."""
    host: tuple[str, ...] = ()
    """The modal words that a block leaves."""
    feeder_signal: bool = False
    """Whether a word waits for the signal that a timed feeder has come back."""


@dataclass(frozen=True)
class Setting:
    """``wheel`` is the one in hand.

    ``registers``: wheel and stick are read when the program runs. ``prove_out``: the stick is held off.
    ``counts``: the block counts the parts and dresses when that is due. ``labels`` hands out numbers, each once.
    """

    dress: Dress
    wheel: Wheel
    grid: Grid
    abilities: Abilities
    registers: bool
    prove_out: bool = False
    counts: bool = False
    labels: Iterator[int] = field(default_factory=itertools.count)

    @property
    def dresser(self) -> Dresser:
        return self.dress.machine.dresser

    @property
    def units(self) -> Literal["mm", "inch"]:
        return self.dress.machine.units

    @property
    def axis(self) -> str:
        return self.dresser.plunge_axis

    @property
    def sign(self) -> int:
        return self.dresser.sign

    @property
    def first_wheel(self) -> bool:
        """Whether the wheel in hand is the first that this dress comes to."""
        return self.wheel.index == 0

    @property
    def last_wheel(self) -> bool:
        """Whether the wheel in hand is the last that this dress comes to."""
        return self.wheel.index == len(self.dress.wheels) - 1

    @property
    def away(self) -> Rounding:
        """The rounding of a plunge-axis position that goes away from the wheel."""
        return "floor" if self.sign > 0 else "ceil"

    @property
    def depth(self) -> Num:
        return self.grid.mm(self.dress.settings.plunge)

    @property
    def clearance(self) -> Num:
        return self.grid.mm(self.dresser.clearance, "ceil")

    @property
    def write_back(self) -> bool:
        """Whether registers are written: only in earnest, and where a word waits for the motion before it."""
        return self.registers and self.abilities.synchronise and not self.prove_out

    @property
    def held_off(self) -> Num:
        """How far a prove-out stays off the envelope: clearance, the stick's tolerance and 1 mm.

        So far off contact where the way is counted from a stand-off.
        """
        return self.grid.mm(self.dresser.clearance + self.dresser.stick_tolerance + 1, "ceil")

    def offset(self, axis: str) -> Decimal:
        """What the dresser's own work offset holds on ``axis``, mm; 0 where positions are machine positions."""
        offset = self.dresser.offset
        return Decimal(0) if offset is None else offset.values.get(axis, Decimal(0))

    def park(self) -> Travel:
        assert self.dresser.parked is not None
        return Travel(self.axis, self.grid.mm(self.dresser.parked - self.offset(self.axis)))

    def wait_for_motion(self, why: str = "") -> Iterator[Node]:
        """The word that waits, where the control has one."""
        if self.abilities.synchronise:
            if why:
                yield Remark(why)
            yield Synchronise()


def times_unit(value: Expr, factor: Decimal) -> Expr:
    """``value · factor``, where factor is 1, 25.4 or its inverse; written with the exact one of the two."""
    if factor == 1:
        return value
    return value * INCH if factor > 1 else value / INCH
