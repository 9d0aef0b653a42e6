"""The block runs in one piece, from its beginning, and a whole program does nothing outside it and comes to its end."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Coolant, End, Move, Spindle, Step


@rule("one-piece", scope="program", needs=("machine",), intents=("dress", "prove-out", "idle"))
def check(case: Case) -> Iterator[Fault]:
    steps = case.reading.steps
    marked = any(seal.line == case.first for seal in case.seals)
    for at, line in case.reading.calls if marked else ():
        if case.block.start <= at <= case.block.stop and case.first <= line <= case.last:
            yield Fault(line, "the block calls a subprogram; what that does is no part of the dress that was proven.")
    for visit in case.visits[1:]:
        line = steps[visit.start].line
        if line != steps[case.block.start].line:
            yield Fault(line, "the program comes into the middle of the block; it must begin at its top.")
    if not marked:
        return
    outside = next((step.line for step in steps if _acts(step) and not case.first <= step.line <= case.last), None)
    if case.form == "program" and outside is not None:
        yield Fault(outside, "this program is one dress, and here it acts outside it, where nothing is proven.")
    elif case.form != "block" and outside is None and case.reading.end == "text":
        yield Fault(case.last_line, f"this {case.form} has no end of its own, and the control would run on behind it.")
    elif case.form == "block" and steps and isinstance(steps[-1], End) and case.first <= steps[-1].line <= case.last:
        yield Fault(steps[-1].line, "the heading calls this a block, and the program ends here, in the midst of it.")


def _acts(step: Step) -> bool:
    return isinstance(step, Move | Spindle | Coolant)
