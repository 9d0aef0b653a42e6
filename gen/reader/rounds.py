"""A program that comes round with nothing changed."""

from __future__ import annotations

from collections.abc import Callable

from gen.reader.modal import ONLY_TOLD, Modal
from gen.reader.variables import Memory
from gen.reader.window import MemoryState


class Rounds:
    """Watches the jumps back of one run, or its stops.

    A run is decided by where it is, its variables and what the control remembers. One that meets the same again
    never ends. Where the axes stand decides nothing in a program that never asks for it: one whose moves go on and
    on in increments comes round too. What was there at one jump is kept and compared with the jumps that follow;
    which one is kept moves on by doubling distances (Brent's search for a cycle, Nordisk Tidskrift for
    Informationsbehandling 20 (1980), from memory), so that a round of any length is found after a few times its length.
    ``every``: each is only compared with the one before it.
    """

    def __init__(self, modal: Modal, variables: Memory, *, every: bool = False) -> None:
        self._modal = modal
        self._variables = variables
        self._kept: tuple[object, ...] = ()
        self._values: MemoryState = ()
        self._since = 0
        self._patience = 1
        self._grows = 1 if every else 2

    def come_round(self, place: Callable[[], tuple[object, ...]]) -> bool:
        """Whether the run has been here before with everything as it is; ``place`` tells where it is."""
        self._since += 1
        if self._variables.are(self._values) and self._kept == (place(), self._remembered()):
            return True
        if self._since >= self._patience:
            self._kept, self._values = (place(), self._remembered()), self._variables.snapshot()
            self._since, self._patience = 0, self._grows * self._patience
        return False

    def _remembered(self) -> dict[str, object]:
        return self._modal.snapshot(ONLY_TOLD if self._variables.has_looked else ONLY_TOLD | {"position"})
