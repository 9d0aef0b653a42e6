"""The first motion is the plunge axis alone to parked; other axes move one at a time, in order, only with it parked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gen.base.finding import Fault
from gen.base.quantities import show
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.feeding import feeder
from gen.bounds.registry import rule
from gen.plan.step import ROTARY, Move, Spindle, Stop


@rule("approach-path", intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    moves = list(case.moves)
    if case.known.timed:
        yield from _withdrawn_first(case)
    if not moves:
        return
    if not case.known.incremental:
        yield from _parks_first(case, moves[0][1])
    judged_elsewhere = {plunge.leaves for plunge in case.contacts.plunges} | {moves[0][0]}
    for index, move in moves:
        yield from _other_axes(case, index, move)
        if index not in judged_elsewhere:
            yield from _away(case, index, move)
    yield from _order(case, moves)
    yield from _in_place(case)


def _parks_first(case: Case, move: Move) -> Iterator[Fault]:
    parked = case.known.machine.dresser.parked
    assert parked is not None
    axis, place = case.plunge_axis, move.to.get(case.plunge_axis)
    if move.axes != (axis,) or place is None or abs(place - float(parked)) > TOLERANCE:
        yield Fault(
            move.line,
            f"the first motion must be {axis} alone to {case.mm(float(parked))}, where it is parked; the stick may "
            "still stand in the wheel.",
        )
    elif move.op != "rapid":
        yield Fault(move.line, f"{axis} is parked at a feed; the way out must be a rapid move.")


def _withdrawn_first(case: Case) -> Iterator[Fault]:
    """A timed feeder is back before anything moves, turns or presses: nobody knows where it was left."""
    for index in case.block:
        step = case.reading.steps[index]
        turns = isinstance(step, Spindle) and step.direction != "off"
        if isinstance(step, Move) or turns or feeder(step, "feeder-on"):
            if case.contacts.positions.get(index - 1) is None:
                yield Fault(
                    step.line,
                    "the feeder may still stand in the wheel; before anything else the block must switch it off and "
                    "wait until it is back.",
                )
            return


def _other_axes(case: Case, index: int, move: Move) -> Iterator[Fault]:
    axis, dresser = case.plunge_axis, case.known.machine.dresser
    if move.axes == (axis,):
        return
    other = next((letter for letter in move.axes if letter != axis), axis)
    if len(move.axes) > 1:
        yield Fault(move.line, f"axes {', '.join(move.axes)} move together; in a dress one axis moves at a time.")
    elif other not in (*dresser.at, dresser.lateral_axis):
        yield Fault(move.line, f"axis {other} moves; the machine file gives it no place in a dress.")
    elif move.op != "rapid":
        yield Fault(move.line, f"axis {other} moves at a feed; only the plunge is a feed move.")
    elif dresser.parked is not None and not case.known.incremental:
        place = case.contacts.positions[index]
        if place is None or abs(place - float(dresser.parked)) > TOLERANCE:
            at = "an unknown position" if place is None else case.mm(place)
            parked = case.mm(float(dresser.parked))
            yield Fault(move.line, f"axis {other} moves while {axis} is at {at}; it must be parked at {parked}.")
    else:
        gap = case.contacts.gaps[index]
        if gap is not None and gap < case.gap - TOLERANCE:
            wanted = case.mm(case.gap)
            yield Fault(
                move.line, f"axis {other} moves while the stick is {case.mm(gap)} from the wheel; {wanted} is wanted."
            )


def _away(case: Case, index: int, move: Move) -> Iterator[Fault]:
    """The plunge axis goes out at a rapid, also where nothing was touched; the retract has a rule of its own."""
    if move.op != "feed" or move.axes != (case.plunge_axis,):
        return
    advance = case.contacts.advance(index, case.known.machine.dresser.sign)
    if advance is not None and advance < -TOLERANCE:
        yield Fault(move.line, f"{case.plunge_axis} goes back at a feed; the way out must be a rapid move.")


def _order(case: Case, moves: list[tuple[int, Move]]) -> Iterator[Fault]:
    """Before the first plunge each other axis moves once, in the machine file's order, the lateral axis last."""
    dresser, plunges = case.known.machine.dresser, case.contacts.plunges
    across = case.known.first.keys.lateral is not None and dresser.lateral_axis
    wanted = [*dresser.at, *([across] if across else [])]
    until = plunges[0].enters if plunges else _first_advance(case, moves)
    found = [(move.axes[0], move.line) for index, move in moves if index < until and move.axes != (case.plunge_axis,)]
    for (letter, line), due in zip(found, wanted, strict=False):
        if letter != due:
            yield Fault(line, f"axis {letter} moves where axis {due} is due; the order is {', '.join(wanted)}.")
            return
    if len(found) < len(wanted) and plunges:
        late = wanted[len(found)]
        yield Fault(plunges[0].line, f"the stick meets the wheel before axis {late} was brought to its place.")
    elif len(found) > len(wanted):
        letter, line = found[len(wanted)]
        yield Fault(line, f"axis {letter} moves once more before the first plunge.")
    for index, move in moves:
        if index > until and move.axes[:1] != (case.plunge_axis,) and move.axes[0] in dresser.at:
            yield Fault(move.line, f"axis {move.axes[0]} is moved off its place between plunges.")


def _first_advance(case: Case, moves: list[tuple[int, Move]]) -> int:
    """Where the plunge axis moves for the second time; the first was to park, or to draw back.

    Where no axis plunges, the first stop after the spindle has started stands for it.
    """
    advances = [index for index, move in moves if case.plunge_axis in move.axes]
    if len(advances) > 1:
        return advances[1]
    turning = next((index for index, _ in case.steps(Spindle)), case.block.stop)
    return next((index for index, _ in case.steps(Stop) if index > turning), case.block.stop)


def _in_place(case: Case) -> Iterator[Fault]:
    """At each plunge, and at each one held off, the other axes stand where the datum and the lane want them."""
    dress = case.known
    dresser, bites = dress.machine.dresser, dress.bites()
    held_off = [(index, move.line, "this plunge is shown") for index, move in case.held_off]
    met = [(plunge.enters, plunge.line, "the stick meets the wheel") for plunge in case.contacts.plunges]
    for count, (enters, line, when) in enumerate(held_off if case.intent == "prove-out" else met):
        wanted = {letter: float(place) for letter, place in dresser.at.items()}
        bite = bites[count % len(bites)]
        wheel = dress.wheels[bite.wheel]
        place = wheel.place(bite.lane, case.size_of(wheel))
        if dresser.lateral_axis is not None and place is not None:
            wanted[dresser.lateral_axis] = place
        stood = _standing(case, enters)
        for letter, place in wanted.items():
            stands = stood.get(letter)
            if stands is None or abs(stands - place) > TOLERANCE:
                at = "an unknown position" if stands is None else _shown(case, letter, stands)
                yield Fault(
                    _moved_at(case, letter, enters) or line,
                    f"axis {letter} stands at {at} when {when}; it should be at {_shown(case, letter, place)}.",
                    amount=0.0 if stands is None else abs(stands - place),
                )


def _standing(case: Case, index: int) -> Mapping[str, float]:
    """Where the axes stand when step ``index`` is done."""
    earlier = (case.reading.steps[at] for at in range(index, -1, -1))
    moves = (step for step in earlier if isinstance(step, Move))
    return next((move.to for move in moves), case.start.positions)


def _moved_at(case: Case, letter: str, before: int) -> int | None:
    lines = [move.line for index, move in case.moves if index < before and letter in move.axes]
    return lines[-1] if lines else None


def _shown(case: Case, letter: str, place: float) -> str:
    return show(place, "angle") if letter in ROTARY else case.mm(place)
