"""What every part of a plan is composed from: the dress, the grid, the control's abilities, and the edition."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import field
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.dressers.kind import Dresser
from gen.dressers.task import Abilities, Lateral, Task
from gen.order.notice import Notice
from gen.order.way_in import way_in
from gen.physics.end_face import EndFace
from gen.physics.visits import visited
from gen.plan.grid import Grid
from gen.shop.dress import Dress
from gen.shop.edition import Edition
from gen.shop.wheel import Wheel


@dataclass(frozen=True)
class Setting:
    """``wheel`` is the one in hand.

    ``registers``: wheel and stick are read when the program runs. ``say`` words what the operator is told.
    ``labels`` hands out numbers, each once.
    """

    dress: Dress
    wheel: Wheel
    grid: Grid
    abilities: Abilities
    registers: bool
    edition: Edition
    say: Callable[[Notice], str]
    labels: Iterator[int] = field(default_factory=itertools.count)

    @property
    def dresser(self) -> Dresser:
        return self.dress.machine.dresser

    @property
    def one_lane(self) -> bool:
        """Whether this dress visits one lane, the one that a register counts; any other edition shows all of them."""
        return bool(self.dress.turns) and self.edition.dresses

    @property
    def write_back(self) -> bool:
        """Whether registers are written: only in a real dress, on controls that can wait for motion."""
        return self.registers and self.abilities.synchronise and self.edition.dresses

    @cached_property
    def task(self) -> Task:
        """What the kind of dresser is asked to do with the wheel in hand."""
        dress, wheel, dresser = self.dress, self.wheel, self.dresser
        depth = float(self.grid.mm(dress.settings.plunge).value * self.grid.mm_per_unit)
        end, turn = EndFace.flat(dress.footprint), None
        if self.one_lane:  # at the last lane the stick's longest part is the one that is cut
            turn = len(wheel.lanes.offsets) - 1
            end = dress.end_face(float(dress.stick.length), turn, depth)
        visits, _ = visited(end, dress.bites(depth, turn))
        centre, across = wheel.keys.lateral, dresser.lateral_axis
        return Task(
            grid=self.grid,
            abilities=self.abilities,
            units=dress.machine.units,
            register_unit=dress.register_unit,
            offsets={} if dresser.offset is None else dresser.offset.values,
            geometry=wheel.geometry,
            lanes=wheel.lanes,
            lateral=None
            if centre is None or across is None
            else Lateral(across, centre, wheel.lateral_sign, wheel.recentre_sign),
            sizes=wheel.size_range,
            lengths=(dress.shortest_left, dress.length_range[1]),
            plunge=dress.settings.plunge,
            plunges=dress.settings.plunges,
            visits=tuple(visit for visit in visits if visit.bite.wheel == wheel.index),
            earliest=dress.earliest_contact,
            one_lane=self.one_lane,
            approach=way_in(wheel, self.grid)
            if self.edition.spins
            else self.grid.mm_min(dresser.gap_check_feed(dress.machine.axis_feed), "floor"),
            writes=self.write_back,
            last_wheel=wheel.index == len(dress.wheels) - 1,
            number=wheel.number,
        )
