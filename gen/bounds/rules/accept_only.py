"""Motion is reached only from states inside the limits; every other one ends in a message that nothing passes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule
from gen.plan.step import Aux, Coolant, End, Move, Refuse, Spindle, Step, Stop, Write


@rule("accept-only", always=True, intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    refusals = [(index, step) for index, step in case.steps(Refuse)]
    if case.accepted:
        yield from _beyond(case)
        for index, refusal in refusals[:1]:
            decided = [read.line for read in case.reads if read.step <= index]
            said = f'the block refuses to dress {case.here}, which is within the limits ("{refusal.message}").'
            yield Fault(decided[-1] if decided else refusal.line, said)
        return
    unset = _outside(case)
    what = unset.said if unset else "this state is outside the limits"
    for index in case.block:
        step = case.reading.steps[index]
        if _acts(case, step):
            when = " when cycle start is pressed again" if refusals and refusals[0][0] < index else ""
            at = _checked_at(case, index, unset) or step.line
            yield Fault(at, f"{what}, and yet the block goes on to dress{when} ({case.here}).")
            return
    yield from _behind(case, what)
    if not refusals and case.reading.end != "refused":
        line = case.reading.steps[case.block.stop - 1].line if case.block else case.first
        yield Fault(line, f"{what}, and the block ends without a message.")
    elif refusals and not case.past_stops and not _over(case, refusals[-1][0]):
        yield Fault(
            refusals[-1][1].line,
            "after this message the program goes on; it must end here, so that cycle start cannot pass.",
        )


def _behind(case: Case, what: str) -> Iterator[Fault]:
    """Nothing moves once the block was reached, be it anywhere in the program and past every stop but an end."""
    for step in takewhile(lambda step: not isinstance(step, End), case.reading.steps[_last_in(case) :]):
        inside = case.first <= step.line <= case.last
        if isinstance(step, Move) and (not inside or _acts(case, step)):
            yield Fault(step.line, f"{what}, and yet this moves after the block should have ended the program.")
            return


def _last_in(case: Case) -> int:
    """The number of the step behind the block's first visit; with an end in it, of that end."""
    ends = (index for index in case.block if isinstance(case.reading.steps[index], End))
    return next(ends, case.block.stop)


def _beyond(case: Case) -> Iterator[Fault]:
    """A wheel or stick that no guard would let through, named for a program worked out in numbers.

    A stick too short has a rule of its own.
    """
    dress = case.known
    limits = {name: (float(low), float(high)) for name, (low, high) in dress.sizes.items()}
    if not dress.incremental:
        limits["stick_length"] = 0.0, float(dress.stick.length)
    for name, (low, high) in limits.items():
        value = case.value(name)
        if value is not None and not low - TOLERANCE <= value <= high + TOLERANCE:
            limit = f"no more than {case.mm(high)}" if value > high else f"no less than {case.mm(low)}"
            said = f"the {name.replace('_', ' ')} is {case.mm(value)}; the recipe is for {limit}."
            yield Fault(None, said, amount=max(low - value, value - high))


def _acts(case: Case, step: Step) -> bool:
    """Whether ``step`` does more than a block may do before it refuses."""
    match step:
        case Move():
            parked = case.known.machine.dresser.parked
            place = step.to.get(case.plunge_axis)
            out = parked is not None and place is not None and abs(place - float(parked)) <= TOLERANCE
            return case.known.incremental or step.axes != (case.plunge_axis,) or not out
        case Spindle():
            return step.direction != "off"
        case Coolant():
            return step.on
        case Aux():
            return step.function == "feeder-on"
        case Write():
            return True
    return False


def _over(case: Case, refusal: int) -> bool:
    """Whether nothing but the end follows the message; a stop that cycle start passes is none."""
    rest = case.reading.steps[refusal + 1 :]
    return (
        case.reading.end == "refused"
        or (bool(rest) and isinstance(rest[0], End))
        or (case.reading.end == "end" and not any(isinstance(step, (Stop, Move)) for step in rest))
    )


class _Outside:
    """The register that makes a state one to refuse."""

    def __init__(self, name: str, said: str, *, above: bool) -> None:
        self.name, self.said, self.above = name, said, above


def _outside(case: Case) -> _Outside | None:
    dress = case.known
    if case.value("in_progress"):
        return _Outside("in_progress", "a dress was interrupted", above=False)
    limits = dict(dress.sizes)
    if not dress.incremental:
        limits["stick_length"] = dress.length_range
    for name, (low, high) in limits.items():
        value, said = case.value(name), name.replace("_", " ")
        if value is None:
            return _Outside(name, f"the register for the {said} was never set", above=False)
        if not float(low) <= value <= float(high):
            limits_said = f"{case.mm(float(low))} to {case.mm(float(high))}"
            return _Outside(name, f"{said} {case.mm(value)} is outside {limits_said}", above=value > float(high))
    return None


def _checked_at(case: Case, acting: int, unset: _Outside | None) -> int | None:
    """The line most likely at fault: where the register is compared with the limit that it breaks.

    A reading tells where a register was read, not what for. Blocks compare it
    with its lower limit, then with its upper one, then use it; where a reading
    is missing, the comparison was jumped over by the one before it.
    """
    number = None if unset is None else case.known.register_numbers.get(unset.name)
    if unset is None or number is None:
        return None
    reads = [read for read in case.reads if read.step <= acting]
    places = [place for place, read in enumerate(reads) if read.register == number]
    if not places:
        return reads[-1].line if reads else None
    if unset.name == "in_progress":
        return reads[places[0]].line
    if len(places) > 2:
        return reads[places[1 if unset.above else 0]].line
    return reads[places[0] if unset.above else max(places[0] - 1, 0)].line
