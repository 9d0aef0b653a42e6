"""Where the recipe wants coolant it flows before contact, and is not switched off until the stick is clear."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.base.quantities import show
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.bounds.waits import waited
from gen.plan.step import Coolant


@rule("coolant")
def check(case: Case) -> Iterator[Fault]:
    if not case.known.settings.coolant:
        return
    needed = float(case.known.machine.dresser.coolant_wait)
    for plunge in case.contacts.plunges:
        told = list(case.steps(Coolant, range(case.block.start, plunge.enters)))
        if not told:
            yield Fault(plunge.line, "the stick meets the wheel, and nothing in the block has switched the coolant on.")
            continue
        if not told[-1][1].on:
            yield Fault(told[-1][1].line, "the coolant is switched off here, and then the stick meets the wheel.")
            continue
        while len(told) > 1 and told[-2][1].on:
            told.pop()
        got = waited(case, told[-1][0], plunge.enters)
        if got < needed - 1e-6:
            yield Fault(
                told[-1][1].line,
                f"the program waits {show(got, 'time')} for the coolant before the stick meets the wheel; "
                f"coolant_wait is {show(needed, 'time')}.",
                amount=needed - got,
            )
        end = case.block.stop if plunge.leaves is None else plunge.leaves
        for _, step in case.steps(Coolant, range(plunge.enters, end)):
            if not step.on:
                yield Fault(step.line, "the coolant is switched off while the stick is in contact; draw it back first.")
