"""What a dresser is asked to do with one wheel, and with what: all that a kind's order of motion is made from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from gen.base.dataclass import dataclass
from gen.base.quantities import System
from gen.physics.contact import Geometry
from gen.physics.lanes import Lanes
from gen.physics.visits import Visit
from gen.plan.expression import Expr, Num, Var
from gen.plan.grid import INCH, Grid
from gen.plan.node import Node, Remark, Switch


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
    shows: bool = False
    """Whether the operator can be shown a message without the program stopping."""
    tells: frozenset[str] = frozenset()
    """What the machine has a word for that tells it: a stick nearly used up, a dress left out (``Telling``)."""
    mist: str = ""
    """The word that switches mist on, where the control has one."""

    def wait_for_motion(self, why: str = "") -> Iterator[Node]:
        """The word that waits, where the control has one."""
        if self.synchronise:
            if why:
                yield Remark(why)
            yield Switch("synchronise")


@dataclass(frozen=True, slots=True)
class Lateral:
    """Where the lateral ``axis`` goes: its ``centre``, mm, and the ``sign`` in which lanes are counted.

    ``follows`` is the way it goes as an inclined plunge's wheel gets smaller: 1, -1, or 0 where it stays.
    """

    axis: str
    centre: Decimal
    sign: int
    follows: int


@dataclass(frozen=True, slots=True)
class Task:
    """One wheel under one stick, as a kind plans its plunges; lengths mm.

    The plan's variables ``size``, ``length`` (where the kind needs it) and
    ``feed`` (where no valve sets it) are worked out before. ``sizes`` are worn
    and new, ``lengths`` the shortest stick that is ever left and the new one.
    ``visits`` are those to this wheel, ``earliest`` the contact that comes
    first of all wheels and sticks, None where there is no datum. ``one_lane``: the visits are to one lane, whose
    number from 1 the plan's variable ``lane`` holds; the stick's register is not the plunges' affair. ``approach``
    is the feed on the way to the wheel, a number or the plan's variable, 0 for
    a kind that has no such way. ``writes``: registers are written back.
    ``number`` is that of the wheel in a pack, 0 of the only one.
    """

    grid: Grid
    abilities: Abilities
    units: System
    register_unit: Decimal
    offsets: Mapping[str, Decimal]
    geometry: Geometry
    lanes: Lanes
    lateral: Lateral | None
    sizes: tuple[Decimal, Decimal]
    lengths: tuple[Decimal, Decimal]
    plunge: Decimal
    plunges: int
    visits: tuple[Visit, ...]
    earliest: float | None
    one_lane: bool
    approach: Num | Var
    writes: bool
    last_wheel: bool
    number: int

    @property
    def depth(self) -> Num:
        """The depth of one plunge, as the program writes it."""
        return self.grid.mm(self.plunge)

    def offset(self, axis: str) -> Decimal:
        """What the dresser's own work offset holds on ``axis``, mm; 0 where positions are machine positions."""
        return self.offsets.get(axis, Decimal(0))


def times_unit(value: Expr, factor: Decimal) -> Expr:
    """``value · factor``, where factor is 1, 25.4 or its inverse; written with the exact one of the two."""
    if factor == 1:
        return value
    return value * INCH if factor > 1 else value / INCH
