"""A program that comes round with nothing changed: at a stop, however often cycle start is pressed, or without one."""

from __future__ import annotations

from collections.abc import Callable

from gen.plan.step import Refuse, Stop
from gen.reader.failure import OutOfBudget
from gen.reader.modal import Modal
from gen.reader.variables import Memory, MemoryState


class Rounds:
    """Watches the jumps back of one run.

    A run is decided by where it is, its variables and what the control remembers. One that meets the same again
    never ends. Where the axes stand decides nothing in a program that never asks for it: one whose moves go on and
    on in increments comes round too. What was there at one jump is kept and compared with the jumps that follow;
    which one is kept moves on by doubling distances (Brent's search for a cycle, Nordisk Tidskrift for
    Informationsbehandling 20 (1980), from memory), so that a round of any length is found after a few times its length.
    """

    def __init__(self, modal: Modal, variables: Memory) -> None:
        self._modal = modal
        self._variables = variables
        self._kept: tuple[object, ...] = ()
        self._values: MemoryState = ()
        self._since = 0
        self._patience = 1

    def come_round(self, place: Callable[[], tuple[object, ...]]) -> bool:
        """Whether the run has jumped back before with everything as it is; ``place`` tells where it is."""
        self._since += 1
        if self._variables.are(self._values) and self._kept == (*place(), *self._remembered()):
            return True
        if self._since >= self._patience:
            self._kept, self._values = (*place(), *self._remembered()), self._variables.snapshot()
            self._since, self._patience = 0, 2 * self._patience
        return False

    def _remembered(self) -> tuple[object, ...]:
        modal = self._modal
        return modal.remembered() if self._variables.has_looked else modal.remembered_anywhere()


class Standstill:
    """Watches the stops of one run.

    A run is decided by where it is, its variables and its modes. The same stop
    met with all of them as they were, and nothing done in between, is met for
    ever; what the operator was shown then is the message of a refusal.
    """

    def __init__(self, modal: Modal, variables: Memory) -> None:
        self._modal = modal
        self._variables = variables
        self._before: tuple[object, ...] = ()
        self._values: MemoryState = ()
        self._done = 0
        self._shown: tuple[int, str] | None = None

    def comes_round(self, place: tuple[object, ...]) -> bool:
        """Whether the stop that is the last step is the one before it again; the two become one refusal.

        ``place``: where the run is. :class:`OutOfBudget` if no message was shown.
        """
        modal, steps = self._modal, self._modal.reading.steps
        stop = steps[-1]
        if not isinstance(stop, Stop) or stop.optional:
            return False
        found = modal.reading
        now = (place, len(found.changes), len(found.unread), len(found.unmodelled), dict(modal.modes))
        again = now == self._before and len(steps) == self._done + 1 and self._variables.are(self._values)
        if not again:
            self._before, self._done, self._shown = now, len(steps), modal.stood_under
            self._values = self._variables.snapshot()
            return False
        if self._shown is None:
            raise OutOfBudget("this program stands at this stop for ever, and shows no message")
        steps.pop()
        steps.pop()
        steps.append(Refuse(*self._shown))
        return True
