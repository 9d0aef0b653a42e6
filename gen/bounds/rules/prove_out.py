"""A prove-out never touches: its deepest point stays off the envelope, it writes nothing and leaves overrides free."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule
from gen.plan.step import Aux, Spindle, Stop, Write


@rule("prove-out", intents=("prove-out",))
def check(case: Case) -> Iterator[Fault]:
    yield from _near(case)
    yield from _turning(case)
    yield from _ending(case)
    for _, write in case.steps(Write):
        yield Fault(write.line, f"a prove-out writes nothing, and this one writes register {write.register}.")
    for _, word in case.steps(Aux):
        if word.function == "feeder-on":
            yield Fault(word.line, "the feeder is let out; a prove-out never switches it on.")
        if word.function == "override-lock":
            yield Fault(word.line, "a prove-out leaves the overrides free; here they are locked.")
    for index, stop in case.steps(Stop):
        if not _stands_clear(case, index):
            yield Fault(stop.line, "a prove-out stops only with the stick parked, or at its stand-off.")
    if not any(True for _ in case.steps(Stop)):
        yield Fault(case.last_line, "a prove-out stops to let the operator look; this one does not.")


def _turning(case: Case) -> Iterator[Fault]:
    """The wheel turns the way it does in the dress: this is where somebody looks whether that is the right one."""
    wanted = case.known.machine.spindle.direction
    for index, _ in case.held_off:
        told = [step for _, step in case.steps(Spindle, range(case.block.start, index))]
        if told and told[-1].direction != wanted:
            said = f"a plunge is shown with the spindle {told[-1].direction}; this machine dresses {wanted}."
            yield Fault(told[-1].line, said)


def _ending(case: Case) -> Iterator[Fault]:
    """An incremental slide ends where it began: the next dress counts its depth from there."""
    if case.known.machine.dresser.motion != "incremental" or case.known.timed or not case.block:
        return
    began, ends = case.start.positions.get(case.plunge_axis), case.contacts.positions[case.block.stop - 1]
    if began is None or ends is None or abs(ends - began) > TOLERANCE:
        at = "an unknown position" if ends is None else case.mm(ends)
        began_at = "its stand-off" if began is None else f"its stand-off at {case.mm(began)}"
        yield Fault(case.last_line, f"the slide is left at {at}; a prove-out ends at {began_at}.")


def _near(case: Case) -> Iterator[Fault]:
    """The least distance: clearance and tolerance, off the envelope where there is one, else off contact."""
    dresser = case.known.machine.dresser
    envelopes = 0 if case.known.incremental else 1
    wanted = float(dresser.clearance * (1 + envelopes) + dresser.stick_tolerance)
    for index, move in case.moves:
        if case.plunge_axis not in move.axes or index == _last_forward(case):
            continue
        gap = case.contacts.gaps[index]
        if gap is not None and gap < wanted - TOLERANCE:
            yield Fault(
                move.line,
                f"the stick comes within {case.mm(gap)} of the wheel; a prove-out stays {case.mm(wanted)} away "
                f"({case.here}).",
                amount=wanted - gap,
            )


def _last_forward(case: Case) -> int | None:
    """An incremental slide ends where it began, at its stand-off: its last move is no plunge."""
    moves = [index for index, move in case.moves if case.plunge_axis in move.axes]
    return moves[-1] if case.known.incremental and moves else None


def _stands_clear(case: Case, index: int) -> bool:
    """Whether the plunge axis stands parked, or an incremental one where it began."""
    if case.known.timed:
        gap = case.contacts.gaps[index]
        return gap is not None and gap >= case.gap - TOLERANCE
    dresser, place = case.known.machine.dresser, case.contacts.positions[index]
    home = case.start.positions.get(case.plunge_axis) if case.known.incremental else dresser.parked
    return place is not None and home is not None and abs(place - float(home)) <= TOLERANCE
