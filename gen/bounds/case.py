"""One reading of one program at one state, with all that a rule may ask for in its signature."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from functools import cached_property
from typing import Literal, TypeAlias, get_args

from gen.base.dataclass import dataclass
from gen.bounds.block import DressBlock
from gen.bounds.contacts import TOLERANCE, Contacts, follow
from gen.bounds.marks import Marks
from gen.bounds.units import Units
from gen.bounds.wear import Wear
from gen.control.seal import MarkedBlock
from gen.dressers.task import Abilities
from gen.plan.node import State
from gen.reader.all_states.agree import Difference
from gen.reader.reading import Reading
from gen.shop.dress import Dress
from gen.shop.edition import Edition, Purpose
from gen.shop.machine import Machine

Intent: TypeAlias = Purpose | Literal["idle", "left-out"]
"""What the block is to do at a state: what the program is for, only to count the part and return, or leave it out."""

MOVING: tuple[Intent, ...] = get_args(Purpose)
"""What a block is to do where it moves axes."""

ANY: tuple[Intent, ...] = (*MOVING, "idle", "left-out")


@dataclass(frozen=True)
class Expected:
    """What the block is held to be.

    ``accepted`` is False for a state in which it must refuse, which is read past every stop. ``instead``: at this
    one it must not do what it is for. ``leaves`` gives the meaning that each modal group must have afterwards.
    """

    edition: Edition = field(default_factory=lambda: Edition("block"))
    accepted: bool = True
    instead: Literal["idle", "left-out"] | None = None
    leaves: Mapping[str, str] | None = None

    @property
    def intent(self) -> Intent:
        return self.instead or self.edition.purpose


@dataclass(frozen=True, eq=False)
class Case:
    """A reading, where in it the dress block lies, the state it was read at, and what it is held to.

    ``first`` and ``last`` are the block's source lines, both included. ``bare``
    is the machine, where nothing tells the recipe. ``parted`` tells where the block
    parts from its plan at any state, told with one of its readings. What a rule
    names in its signature is an attribute of this class.
    """

    reading: Reading
    first: int
    last: int
    dress: Dress | None = None
    state: State | None = None
    bare: Machine | None = None
    seals: tuple[MarkedBlock, ...] = ()
    expected: Expected = Expected()
    words: Abilities = Abilities((), override_lock=False, synchronise=True)
    parted: tuple[Difference, ...] = ()

    @property
    def machine(self) -> Machine | None:
        return self.bare if self.dress is None else self.dress.machine

    @cached_property
    def block(self) -> DressBlock:
        return DressBlock(self.reading, self.first, self.last)

    @cached_property
    def marks(self) -> Marks:
        return Marks(self.block, self.seals, self.expected.edition.form)

    @cached_property
    def wear(self) -> Wear | None:
        return None if self.dress is None or self.state is None else Wear(self.dress, self.state)

    @cached_property
    def contacts(self) -> Contacts | None:
        """Where stick and wheel meet in the block, and how far apart they are elsewhere."""
        return None if self.wear is None else follow(self.reading.steps, self.block.run, self.wear)

    @cached_property
    def units(self) -> Units:
        return Units("mm" if self.machine is None else self.machine.units)

    @cached_property
    def parks_clear(self) -> bool:
        """Whether the longest stick, parked, stands clear of the largest wheel; True where nothing tells."""
        room = None if self.dress is None else self.dress.room_when_parked
        return self.dress is None or room is None or room >= float(self.dress.dresser.gap) - TOLERANCE
