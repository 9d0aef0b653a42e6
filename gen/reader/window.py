"""What a run knew when it came to a window of lines, and when it left it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from gen.base.dataclass import dataclass
from gen.plan.step import Register
from gen.reader.operators import Value
from gen.reader.standing import InForce


@dataclass(frozen=True, eq=False)
class Snapshot:
    """A run before its step number ``step``; ``in_force``: modes, and where the axes stand.

    ``changes`` and ``reads`` count what is on record of these.
    """

    step: int
    variables: tuple[Mapping[Register, Value], ...]
    in_force: InForce
    changes: int
    reads: int


@dataclass(eq=False)
class Window:
    """One stay of a run in a window of lines; its steps are ``entry.step`` up to ``leaving.step``."""

    entry: Snapshot
    left: Snapshot | None = field(default=None)

    @property
    def leaving(self) -> Snapshot:
        """When the run left the window, or ended in it."""
        assert self.left is not None
        return self.left
