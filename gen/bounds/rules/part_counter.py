"""A block that counts parts only counts until a dress is due: nothing moves, and the count goes up by one."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Coolant, Move, Spindle, Write


@rule("part-counter", intents=("idle",))
def check(case: Case) -> Iterator[Fault]:
    for index in case.block:
        step = case.reading.steps[index]
        if isinstance(step, Move | Spindle | Coolant):
            yield Fault(step.line, f"no dress is due after {_parts(case):g} parts, and yet something moves.")
            return
    for change in case.changes:
        yield Fault(change.line, "no dress is due, and yet a mode is changed; the host would go on with it.")
    table = case.known.machine.registers
    number = None if table is None else table.parts_since_dress
    written = [step for _, step in case.steps(Write) if step.register == number]
    if [step.value for step in written] != [_parts(case) + 1]:
        line = written[-1].line if written else case.last_line
        yield Fault(line, f"after {_parts(case):g} parts the count must go up to {_parts(case) + 1:g}, once.")
    if case.reading.end == "refused":
        yield Fault(case.last_line, "no dress is due, and yet the block refuses to go on.")


def _parts(case: Case) -> float:
    return case.value("parts_since_dress") or 0.0
