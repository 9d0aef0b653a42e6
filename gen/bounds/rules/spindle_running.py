"""No contact unless the wheel turns the right way, at the dress speed, and has had its time to get there."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.base.quantities import show
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.bounds.waits import waited
from gen.plan.step import Spindle

ROUNDING = 1.0
"""rpm: the speed is rounded, or rounded down, to whole rpm."""


@rule("spindle-running")
def check(case: Case) -> Iterator[Fault]:
    spindle = case.machine.spindle
    for plunge in case.contacts.plunges:
        wheel = case.of(plunge)
        wanted = wheel.rpm(case.size_of(wheel))
        told = list(case.steps(Spindle, range(case.block.start, plunge.enters)))
        if not told:
            yield Fault(plunge.line, "the stick meets the wheel, and nothing in the block has started the spindle.")
            continue
        step = told[-1][1]
        if step.direction == "off":
            yield Fault(step.line, "the spindle is stopped here, and then the stick meets the wheel.")
        elif step.direction != spindle.direction:
            yield Fault(
                step.line,
                f"the spindle turns {step.direction}; this machine dresses {spindle.direction}, the way that pushes "
                "the stick into its seat.",
            )
        elif abs(step.rpm - wanted) > ROUNDING:
            yield Fault(
                step.line,
                f"the spindle is told to turn at {step.rpm:g} rpm; the dress wants {wanted:g} rpm ({case.here}).",
                amount=abs(step.rpm - wanted),
            )
        else:
            # the same speed told again needs no new wait
            while len(told) > 1 and told[-2][1][1:] == step[1:]:
                told.pop()
            got, needed = waited(case, told[-1][0], plunge.enters), float(spindle.spin_up)
            if got < needed - 1e-6:
                yield Fault(
                    told[-1][1].line,
                    f"the program waits {show(got, 'time')} for the spindle before the stick meets the wheel; "
                    f"spin_up is {show(needed, 'time')}.",
                    amount=needed - got,
                )
