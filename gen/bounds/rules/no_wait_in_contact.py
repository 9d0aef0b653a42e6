"""From first contact until the stick is clear nothing else happens: no wait, no stop, no switch, no register."""

from __future__ import annotations

from collections.abc import Iterator

from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE, Plunge
from gen.bounds.finding import Fault
from gen.bounds.registry import rule
from gen.steps import Move

_SAID = {
    "dwell": "the program waits",
    "spindle": "the spindle is switched",
    "coolant": "the coolant is switched",
    "write": "a register is written",
    "refuse": "the program stops with a message",
    "stop": "the program stops",
    "end": "the program ends",
}


@rule("no-wait-in-contact")
def check(case: Case) -> Iterator[Fault]:
    for plunge in case.contacts.plunges:
        for index in range(plunge.enters, _clear(case, plunge)):
            step = case.reading.steps[index]
            if not isinstance(step, Move):
                what = _SAID.get(step.op, "something is switched")
                clear = case.mm(case.gap)
                yield Fault(step.line, f"{what} before the stick is {clear} clear of the wheel; draw it back first.")


def _clear(case: Case, plunge: Plunge) -> int:
    """The number of the step with which the stick is clear; else that of the first step after the block."""
    for index, _ in case.steps(Move, range(plunge.enters, case.block.stop)):
        gap = case.contacts.gaps[index]
        if index > plunge.enters and gap is not None and gap >= case.gap - TOLERANCE:
            return index
    return case.block.stop
