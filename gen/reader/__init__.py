"""The reader: what a program does, in neutral steps, whatever control it is written for.

``lower`` makes instructions of a text, once; ``run`` follows them from a state.
"""

from __future__ import annotations

from collections.abc import Set

from gen.control.model import Control
from gen.plan.step import Register
from gen.reader.executor import run
from gen.reader.lower import lower
from gen.reader.program import Lowered
from gen.reader.reading import Budget, Ending, Reading, ReadState, Switches

__all__ = ["Budget", "Ending", "Lowered", "ReadState", "Reading", "Switches", "lower", "read", "run"]


def read(
    text: str,
    control: Control,
    state: ReadState | None = None,
    *,
    registers: Set[Register] | None = None,
    past_stops: bool = False,
    budget: Budget | None = None,
) -> Reading:
    """What ``text`` does from ``state``: :func:`lower` and :func:`run` in one."""
    return run(lower(text, control, budget=budget), state, registers=registers, past_stops=past_stops, budget=budget)
