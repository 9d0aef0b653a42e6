"""A stop that comes round again with nothing changed: however often cycle start is pressed, the program stays there."""

from __future__ import annotations

from gen.plan.step import Refuse, Stop
from gen.reader.failure import OutOfBudget
from gen.reader.modal import Modal


class Standstill:
    """Watches the stops of one run.

    A run is decided by where it is, its variables and its modes. The same stop
    met with all of them as they were, and nothing done in between, is met for
    ever; what the operator was shown then is the message of a refusal.
    """

    def __init__(self, modal: Modal) -> None:
        self._modal = modal
        self._before: tuple[object, ...] | None = None
        self._done = 0
        self._shown: tuple[int, str] | None = None

    def comes_round(self, place: tuple[object, ...]) -> bool:
        """Whether the stop that is the last step is the one before it again; the two become one refusal.

        ``place``: where the run is, and what it remembers. :class:`OutOfBudget` if no message was shown.
        """
        modal, steps = self._modal, self._modal.reading.steps
        stop = steps[-1]
        if not isinstance(stop, Stop) or stop.optional:
            return False
        found = modal.reading
        now = (place, len(found.changes), len(found.unread), len(found.unmodelled), dict(modal.modes))
        again = now == self._before and len(steps) == self._done + 1
        if not again:
            self._before, self._done, self._shown = now, len(steps), modal.stood_under
            return False
        if self._shown is None:
            raise OutOfBudget("this program stands at this stop for ever, and shows no message")
        steps.pop()
        steps.pop()
        steps.append(Refuse(*self._shown))
        return True
