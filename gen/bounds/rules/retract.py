"""After contact the stick is drawn straight back, at a rapid and far enough, and the block ends with it parked."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gen.base.finding import Fault
from gen.base.quantities import show
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE, Plunge
from gen.bounds.feeding import feeder, first_off
from gen.bounds.registry import rule
from gen.plan.step import Aux, Move


@rule("retract")
def check(case: Case) -> Iterator[Fault]:
    plunges = case.contacts.plunges
    if case.known.timed:
        yield from _feeder(case)
        return
    for plunge in plunges:
        yield from _drawn_back(case, plunge)
    if plunges:
        yield from _ending(case, plunges[-1])


def _drawn_back(case: Case, plunge: Plunge) -> Iterator[Fault]:
    if plunge.leaves is None:
        yield Fault(plunge.last_line, "the stick is not drawn back after this plunge.", amount=1e9)
        return
    move, gap = case.reading.steps[plunge.leaves], case.contacts.gaps[plunge.leaves]
    if gap is None or gap < case.gap - TOLERANCE:
        yield Fault(
            move.line,
            f"the stick is drawn back to {case.mm(gap or 0.0)} from the wheel; {case.mm(case.gap)} is wanted.",
            amount=case.gap - (gap or 0.0),
        )
    elif move.op != "rapid":
        yield Fault(move.line, "the stick is drawn back at a feed; it must leave the wheel as a rapid move.")


def _feeder(case: Case) -> Iterator[Fault]:
    """A timed feeder is switched off after each plunge and its return waited for; afterwards no axis moves."""
    wait = show(case.known.machine.dresser.retract_wait or 0, "time")
    for plunge in case.contacts.plunges:
        off = first_off(case, plunge)
        if off is None:
            yield Fault(plunge.last_line, "the feeder is not switched off after this plunge.", amount=1e9)
        elif plunge.leaves is None or plunge.last_line > case.reading.steps[off].line:
            said = f"the feeder's return is not waited for; it takes up to {wait}."
            yield Fault(case.reading.steps[off].line, said)
    if case.contacts.plunges:
        last = case.contacts.plunges[-1].enters
        for _, move in case.steps(Move, range(last, case.block.stop)):
            yield Fault(move.line, f"axis {move.axes[0]} moves after the last plunge; the dress is over there.")
    switched = [step for _, step in case.steps(Aux) if feeder(step, "feeder-on", "feeder-off")]
    if switched and switched[-1].function == "feeder-on":
        yield Fault(switched[-1].line, "the feeder is switched on here and never off again.")


def _ending(case: Case, last: Plunge) -> Iterator[Fault]:
    """Nothing but the plunge axis moves after the last plunge, and it ends where it belongs."""
    end = last.line
    for index, move in case.moves:
        if index > last.enters:
            end = move.line
            others = [letter for letter in move.axes if letter != case.plunge_axis]
            if others:
                said = f"axis {others[0]} moves after the last plunge; only {case.plunge_axis} may, to park."
                yield Fault(move.line, said)
    dresser = case.known.machine.dresser
    place, gap = case.contacts.positions[case.block.stop - 1], case.contacts.gaps[case.block.stop - 1]
    if dresser.stand_off is None:
        assert dresser.parked is not None
        parked = float(dresser.parked)
        if place is None or abs(place - parked) > TOLERANCE:
            at = "an unknown position" if place is None else case.mm(place)
            yield Fault(end, f"the block ends with {case.plunge_axis} at {at}; it must be parked at {case.mm(parked)}.")
    elif gap is not None and abs(gap - case.gap) > TOLERANCE:
        where = f"{case.mm(gap)} from the wheel" if math.isfinite(gap) else "beside the wheel"
        yield Fault(
            end,
            f"the block ends with the stick {where}; the stand-off is {case.mm(case.gap)}, "
            "and the next dress counts on it.",
        )
