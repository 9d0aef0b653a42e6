"""Each plunge ends as far beyond contact as planned: more than the bedding-in, no more than ``max_plunge``."""

from __future__ import annotations

from collections.abc import Iterator

from gen.bounds import changes
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.finding import Change, Fault
from gen.bounds.registry import rule


@rule("plunge-depth")
def check(case: Case) -> Iterator[Fault]:
    beforehand = list(_planned(case))
    yield from beforehand
    planned = float(case.known.dress.plunge)
    for plunge in case.contacts.plunges:
        off = abs(plunge.depth - planned)
        if off > TOLERANCE:
            yield Fault(
                plunge.last_line,
                f"the plunge ends at {case.plunge_axis} {case.mm(plunge.reached)}, {case.mm(plunge.depth)} beyond "
                f"contact; {case.mm(planned)} is planned ({case.here}).",
                amount=off,
            )
    expected, made = case.known.dress.plunges * len(case.known.lanes.offsets), len(case.contacts.plunges)
    if made != expected and not beforehand:
        yield Fault(
            case.contacts.plunges[expected].line if made > expected else _missed(case),
            f"the stick meets the wheel {_times(made)}; {_times(expected)} is planned ({case.here}).",
            amount=abs(made - expected),
        )
    if len(case.visits) > 1 and not case.known.incremental and not case.reads:
        again = case.reading.steps[case.visits[1].start].line
        yield Fault(
            again,
            f"the block is reached {_times(len(case.visits))}; worked out in numbers it is right once, "
            "since the stick is shorter afterwards.",
        )


def _planned(case: Case) -> Iterator[Fault]:
    facts = case.known
    planned, bedding, most = facts.dress.plunge, facts.geometry.bedding, facts.machine.dresser.max_plunge
    lanes, stick, wheel = len(facts.lanes.offsets), facts.stick.section[0], facts.wheel.width
    if lanes > 1 and facts.machine.dresser.lateral_axis is None:
        yield Fault(
            None,
            f"a stick of {case.mm(float(stick))} on a wheel of {case.mm(float(wheel))} needs {lanes} plunges side by "
            "side, and the machine file names no lateral axis to move between them.",
            (Change("recipe", "dress.lanes", "one", 'With lanes = "one" it fits.'),),
        )
        return
    if planned <= bedding:
        yield Fault(
            None,
            f"a plunge of {case.mm(float(planned))} ends before the whole width of the stick cuts, "
            f"which takes {case.mm(bedding)}.",
            tuple(changes.plunge(facts, bedding + 0.05, "up")),
        )
    if most is not None and planned > most:
        yield Fault(
            None,
            f"a plunge of {case.mm(float(planned))} is more than this dresser's max_plunge of {case.mm(float(most))}.",
            tuple(changes.plunge(facts, most)),
        )


def _missed(case: Case) -> int | None:
    """The line where the first stroke ends that touches nothing; where there is none, that of the last move."""
    entering = {plunge.enters for plunge in case.contacts.plunges}
    stroke: list[int] = []
    touched = False
    line = None
    for index, move in case.moves:
        line = move.line
        if case.plunge_axis not in move.axes:
            continue
        if move.op == "feed":
            stroke.append(move.line)
            touched = touched or index in entering
        else:
            if stroke and not touched:
                break
            stroke, touched = [], False
    return stroke[-1] if stroke and not touched else line


def _times(count: int) -> str:
    return {0: "never", 1: "once", 2: "twice"}.get(count, f"{count} times")
