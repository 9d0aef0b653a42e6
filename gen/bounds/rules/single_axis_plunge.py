"""While the stick is in contact the plunge axis moves alone, straight and at a feed."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Move


@rule("single-axis-plunge")
def check(case: Case) -> Iterator[Fault]:
    axis = case.plunge_axis
    for plunge in case.contacts.plunges:
        end = case.block.stop if plunge.leaves is None else plunge.leaves + 1
        for index, move in case.steps(Move, range(plunge.enters, end)):
            others = [letter for letter in move.axes if letter != axis]
            if others:
                may = "none may" if case.known.timed else f"only {axis} may"
                yield Fault(move.line, f"axis {others[0]} moves while the stick is in contact; {may}.")
            elif move.op == "arc":
                yield Fault(move.line, "the stick is moved along an arc while in contact; it may only go straight.")
            elif move.op == "rapid" and index != plunge.leaves:
                yield Fault(move.line, "the stick goes into the wheel as a rapid move; a plunge is a feed move.")
