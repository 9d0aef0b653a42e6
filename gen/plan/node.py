"""The plan: what one dress does, as a tree, before any control's words.

Values are numbers or small expressions over the state of wheel and stick, in
the program's own length unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from decimal import Decimal
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.plan.expression import Condition, Expr
from gen.plan.step import Direction, Register

Telling: TypeAlias = Literal["stick-low", "dress-left-out"]
"""What a word of the machine may tell."""


@dataclass(frozen=True, slots=True)
class Modes:
    """Modes stated by group and meaning, in the order written."""

    stated: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Leave:
    """The modes the block leaves, in the host's own words."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remark:
    """A line for the person who reads the program."""

    text: str


@dataclass(frozen=True, slots=True)
class Travel:
    """One axis moves: a rapid (``rate`` None) or a feed; ``relative`` to where it stands."""

    axis: str
    target: Expr
    rate: Expr | None = None
    relative: bool = False


@dataclass(frozen=True, slots=True)
class Turn:
    """The spindle turns at ``rpm``, or stops."""

    rpm: Expr
    direction: Direction


@dataclass(frozen=True, slots=True)
class Wait:
    """A dwell of ``seconds``, and what is waited for."""

    seconds: Decimal
    purpose: str


@dataclass(frozen=True, slots=True)
class Flood:
    on: bool


@dataclass(frozen=True, slots=True)
class Let:
    """A working variable given a value."""

    name: str
    value: Expr
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Store:
    """A register, by its name in the machine file, given a value that outlives the program."""

    register: str
    value: Expr


@dataclass(frozen=True, slots=True)
class When:
    """``body`` only if ``condition`` holds. ``label`` is unique in the plan."""

    condition: Condition
    label: int
    body: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Guard:
    """``body`` is reached only if ``condition`` holds; else ``message`` is shown and the program is over.

    ``number`` is the message's own, with which it also begins.
    """

    condition: Condition
    message: str
    label: int
    body: tuple[Node, ...]
    number: int


@dataclass(frozen=True, slots=True)
class Press:
    """A timed feeder let out for ``seconds``, in one line of the program if ``one_line``."""

    seconds: Decimal
    one_line: bool


@dataclass(frozen=True, slots=True)
class Switch:
    """A word that acts by itself: the machine's for ``function``, named as in :class:`~gen.plan.step.Aux`.

    Without one, ``word`` is of the grinding program's own and switches something again, such as its mist.
    """

    function: Literal["override-lock", "override-free", "synchronise", "feeder-off", "feeder-retracted", ""] = ""
    word: str = ""


@dataclass(frozen=True, slots=True)
class Warn:
    """The operator is shown ``message`` and the program goes on; the machine's word for ``meaning`` says so as well.

    ``shown`` is False on a control that shows no message without stopping, ``switch`` on a machine without the word.
    """

    message: str
    meaning: Telling
    shown: bool
    switch: bool


@dataclass(frozen=True, slots=True)
class Pause:
    """A stop that cycle start passes, and what to look at meanwhile."""

    look_at: str


@dataclass(frozen=True, slots=True)
class Finish:
    """The program's end, as a step of its own."""


Node: TypeAlias = (
    Modes
    | Leave
    | Remark
    | Travel
    | Turn
    | Wait
    | Flood
    | Let
    | Store
    | When
    | Guard
    | Press
    | Switch
    | Warn
    | Pause
    | Finish
)


@dataclass(frozen=True, slots=True)
class Plan:
    """A tree of nodes, the length unit its numbers are in, and the registers it knows by name.

    Targets are machine positions, or, with ``frame`` the word of a work offset
    kept for the dresser, positions in that offset, whose ``offsets`` (mm) are
    added to reach the machine's.
    """

    nodes: tuple[Node, ...]
    mm_per_unit: Decimal = Decimal(1)
    registers: Mapping[str, Register] = field(default_factory=dict)
    offsets: Mapping[str, float] = field(default_factory=dict)
    frame: str = "machine"


@dataclass(frozen=True, slots=True)
class State:
    """Wheel, stick and counters at one moment.

    ``values`` holds ``wheel_diameter`` or ``wheel_gauge``, ``stick_length``,
    ``in_progress``, … as the registers hold them (a length in the registers'
    unit; without registers, in the program's); ``positions`` the machine coordinates (mm) of axes known
    beforehand, such as an incremental slide's.
    """

    values: Mapping[str, float]
    positions: Mapping[str, float] = field(default_factory=dict)

    def having(self, **values: float) -> State:
        """The same but for ``values``, as the registers hold them."""
        return State({**self.values, **values}, self.positions)


def walk(nodes: Sequence[Node]) -> Iterator[Node]:
    """Every node of a tree, in the order written."""
    for node in nodes:
        yield node
        if isinstance(node, (When, Guard)):
            yield from walk(node.body)
