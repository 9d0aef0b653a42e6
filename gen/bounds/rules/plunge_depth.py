"""Each plunge ends as far beyond contact as planned: more than the bedding-in, no more than ``max_plunge``."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.base.finding import Change, Fault
from gen.bounds import changes
from gen.bounds.advice_valve import closer_valve
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.feeding import feeder
from gen.bounds.registry import rule
from gen.bounds.rounding import dwell_slack
from gen.plan.step import Aux

_LEAST = Decimal("0.1")
"""mm. Twenty times what contact and depth may be off by rounding."""


@rule("plunge-depth")
def check(case: Case) -> Iterator[Fault]:
    beforehand = list(_planned(case))
    yield from beforehand
    planned = float(case.known.settings.plunge)
    for plunge in case.contacts.plunges:
        off = abs(plunge.depth - planned)
        if case.known.timed:
            if off > TOLERANCE + dwell_slack(case):
                yield Fault(
                    plunge.last_line,
                    f"at {case.feed(plunge.feed or 0.0)} the dwell takes the stick {case.mm(plunge.depth)} beyond "
                    f"contact; {case.mm(planned)} is planned.",
                    amount=off,
                )
        elif off > TOLERANCE:
            yield Fault(
                plunge.last_line,
                f"the plunge ends at {case.plunge_axis} {case.mm(plunge.reached)}, {case.mm(plunge.depth)} beyond "
                f"contact; {case.mm(planned)} is planned ({case.here}).",
                amount=off,
            )
    expected, made = len(case.known.bites()), len(case.contacts.plunges)
    if made != expected and not beforehand:
        yield Fault(
            case.contacts.plunges[expected].line if made > expected else _missed(case),
            f"the stick meets the wheel {_times(made)}; {_times(expected)} is planned ({case.here}).",
            amount=abs(made - expected),
        )
    if len(case.visits) > 1 and case.known.timed and not case.known.valve.self_adjusting:
        again = case.reading.steps[case.visits[1].start].line
        yield Fault(
            again,
            f"the block is reached {_times(len(case.visits))}; after a dress the stand-off is "
            f"{case.mm(float(case.known.stick_per_dress))} more, and has to be set anew.",
        )
    if len(case.visits) > 1 and not case.known.incremental and not case.reads:
        again = case.reading.steps[case.visits[1].start].line
        yield Fault(
            again,
            f"the block is reached {_times(len(case.visits))}; worked out in numbers it is right once, "
            "since the stick is shorter afterwards.",
        )


def _planned(case: Case) -> Iterator[Fault]:
    dress = case.known
    planned, bedding, most = dress.settings.plunge, dress.first.geometry.bedding, dress.machine.dresser.max_plunge
    lanes, stick, wheel = len(dress.first.lanes.offsets), dress.stick.section[0], dress.first.keys.width
    if lanes > 1 and dress.machine.dresser.lateral_axis is None:
        yield Fault(
            None,
            f"a stick of {case.mm(float(stick))} on a wheel of {case.mm(float(wheel))} needs {lanes} plunges side by "
            "side, and the machine file names no lateral axis to move between them.",
            (Change("recipe", "dress.lanes", "one", 'With lanes = "one" it fits.'),),
        )
        return
    if dress.timed:
        yield from _again(case)
        yield from _valve(case)
        return
    if planned < _LEAST:
        yield Fault(
            None,
            f"a plunge of less than {case.mm(float(_LEAST))} opens nothing, and what rounding does to it would show.",
            tuple(changes.plunge(dress, _LEAST, "up")),
        )
    if planned <= bedding:
        yield Fault(
            None,
            f"a plunge of {case.mm(float(planned))} ends before the whole width of the stick cuts, "
            f"which takes {case.mm(bedding)}.",
            tuple(changes.plunge(dress, bedding + 0.05, "up")),
        )
    if most is not None and planned > most:
        yield Fault(
            None,
            f"a plunge of {case.mm(float(planned))} is more than this dresser's max_plunge of {case.mm(float(most))}.",
            tuple(changes.plunge(dress, most)),
        )


def _again(case: Case) -> Iterator[Fault]:
    """A block that dresses by itself whenever a dress is due finds the stand-off grown, unless the feeder keeps it."""
    dress = case.known
    if case.counts and not dress.valve.self_adjusting:
        yield Fault(
            None,
            f"this block counts the parts and dresses again by itself, and each dress leaves the stand-off "
            f"{case.mm(float(dress.stick_per_dress))} greater for the next one; only a self-adjusting feeder keeps it.",
            (Change("recipe", "dress.every_parts", None, "Without dress.every_parts, one dress a call, it fits."),),
            amount=1e9,
        )


def _valve(case: Case) -> Iterator[Fault]:
    """A timed feeder's depth at both ends of what its valve may do."""
    dress = case.known
    valve, planned, most = dress.valve, dress.settings.plunge, dress.machine.dresser.max_plunge
    least, deepest = valve.depths(planned)
    bedding, off = Decimal(repr(dress.first.geometry.bedding)), valve.tolerance * valve.stand_off
    if least <= bedding:
        reached = f"no more than {case.mm(float(least))} deep" if least > 0 else "not as far as the wheel"
        cuts = f"; the whole width cuts after {case.mm(float(bedding))}" if bedding else ""
        yield Fault(
            None,
            f"with its valve at the slow end the feeder goes {reached} in the time for "
            f"{case.mm(float(planned))}{cuts}.",
            (
                *changes.plunge(dress, (bedding + off) / (1 - valve.tolerance) + Decimal("0.05"), "up"),
                *closer_valve(dress.first, float((planned - bedding) / (planned + valve.stand_off)) - 1e-4),
            ),
        )
    if most is not None and deepest > most:
        yield Fault(
            None,
            f"with its valve at the fast end the feeder goes {case.mm(float(deepest))} deep in the time for "
            f"{case.mm(float(planned))}; this dresser's max_plunge is {case.mm(float(most))}.",
            (
                *changes.plunge(dress, (most - off) / (1 + valve.tolerance)),
                *closer_valve(dress.first, float((most - planned) / (planned + valve.stand_off))),
            ),
        )


def _missed(case: Case) -> int | None:
    """The line where the first stroke ends that touches nothing; where there is none, that of the last move."""
    if case.known.timed:
        switched = [step.line for _, step in case.steps(Aux) if feeder(step, "feeder-on")]
        return switched[0] if switched else case.last_line
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
