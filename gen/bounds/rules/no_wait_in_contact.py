"""From first contact until the stick is clear nothing else happens: no wait, no stop, no switch, no register."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE, Plunge
from gen.bounds.feeding import feeder, first_off
from gen.bounds.registry import rule
from gen.plan.step import Dwell, Move

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
            if not isinstance(step, Move) and not _feeds(case, plunge, index):
                what = _SAID.get(step.op, "something is switched")
                clear = case.mm(case.gap)
                yield Fault(step.line, f"{what} before the stick is {clear} clear of the wheel; draw it back first.")


def _feeds(case: Case, plunge: Plunge, index: int) -> bool:
    """Whether step ``index`` is what lets a timed feeder out, or draws it back and waits for it."""
    if not case.known.timed:
        return False
    off = first_off(case, plunge)
    step = case.reading.steps[index]
    return index == plunge.enters or (off is not None and index >= off and (isinstance(step, Dwell) or feeder(step)))


def _clear(case: Case, plunge: Plunge) -> int:
    """The number of the step with which the stick is clear; else that of the first step after the block."""
    if case.known.timed:
        return case.block.stop if plunge.leaves is None else plunge.leaves
    for index, _ in case.steps(Move, range(plunge.enters, case.block.stop)):
        gap = case.contacts.gaps[index]
        if index > plunge.enters and gap is not None and gap >= case.gap - TOLERANCE:
            return index
    return case.block.stop
