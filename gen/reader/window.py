"""What a run knew when it came to a window of lines, and when it left it."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import field
from typing import NamedTuple, TypeAlias

from gen.base.dataclass import dataclass
from gen.plan.step import Register
from gen.reader.operators import Value
from gen.reader.standing import InForce

ON_RECORD = ("steps", "changes", "reads", "unread", "unmodelled", "lost", "calls")
"""What a reading has on record, in the order in which it came about."""


MemoryState: TypeAlias = tuple[dict[Register, Value], ...]
"""The variables that all programs share, then those of each subprogram that runs."""


class OpenCall(NamedTuple):
    """Where a call goes ``back`` to and where it begins; it is made as many ``rounds`` more, ``scoped`` or not."""

    back: int
    start: int
    rounds: int
    scoped: bool


@dataclass(frozen=True, eq=False)
class Snapshot:
    """What a run has told, and what is known, when it comes to a line.

    ``counts``: how much is on record, by :data:`ON_RECORD`; ``in_force``: modes, and where the axes stand.
    Where runs are compared, also the rest of what decides how one goes on: ``at``, its next instruction;
    ``modal``, whatever else the control remembers; ``unset``, the registers that held nothing when read;
    ``said``, the last of what is unmodelled, which is not said again; and whether it has ``halted`` and gone on.
    """

    counts: Mapping[str, int]
    in_force: InForce
    variables: MemoryState = ()
    at: int = 0
    modal: Mapping[str, object] = field(default_factory=dict)
    calls: tuple[OpenCall, ...] = ()
    jumps: int = 0
    unset: Set[Register] = frozenset()
    said: tuple[tuple[int, int, str], ...] = ()
    halted: bool = False

    @property
    def step(self) -> int:
        """The number of the next step."""
        return self.counts["steps"]


@dataclass(eq=False)
class Window:
    """One stay of a run in a window of lines; its steps are ``entry.step`` up to ``leaving.step``.

    ``leaving``: when the run left the window, or ended in it.
    """

    entry: Snapshot
    leaving: Snapshot
