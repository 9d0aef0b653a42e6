"""A grinding program goes on after a dress as it was: feed, wheel, coolant, motion code, and where the axes stand."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from gen.base.errors import listed
from gen.base.finding import Fault
from gen.base.quantities import show
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule
from gen.plan.step import Dwell, Move, Spindle
from gen.reader.in_force import InForce, in_force
from gen.reader.spread import between


@rule("host-continues", scope="program", intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    steps, stop = case.reading.steps, case.block.stop
    until = case.visits[1].start if len(case.visits) > 1 else len(steps)

    def moves() -> Iterator[tuple[int, Move]]:
        for index, step in enumerate(between(steps, stop, until), stop):
            if isinstance(step, Move):
                yield index, step

    first = next(moves(), None)
    if first is None or not case.block:
        return
    before = _at(case, case.block.start, lambda line: not _inside(case, line))
    left = _at(case, stop, lambda line: _inside(case, line))
    yield from _motion(case, before, *first)
    yield from _places(case, before, left, (move for _, move in moves()))
    grinding = next(((index, move) for index, move in moves() if move.op != "rapid"), None)
    if grinding is not None:
        yield from _under_way(case, before, *grinding)


def _inside(case: Case, line: int) -> bool:
    return case.first <= line <= case.last


def _at(case: Case, step: int, last: Callable[[int], bool]) -> InForce:
    """What is in force before ``step``; of what is said between it and the step before, up to the ``last`` line."""
    return in_force(case.reading, step, None, case.start.positions, last)


def _motion(case: Case, before: InForce, index: int, move: Move) -> Iterator[Fault]:
    """A line of bare axis words takes the motion code that was in force."""
    was, now = before.get("motion"), move.op
    said = case.reading.last_stated("motion", index)
    inherits = said is not None and _inside(case, said.line)
    if inherits and was and not was.startswith(now):
        yield Fault(
            move.line,
            f"this line has no motion code of its own; it was a {was} move before the dress and is a {now} after it.",
        )


def _places(case: Case, before: InForce, left: InForce, moves: Iterable[Move]) -> Iterator[Fault]:
    """Axes that the dress moved are brought to a place of the program before anything is ground."""
    moved = {axis for _, move in case.moves for axis in move.axes if axis != case.plunge_axis}
    elsewhere = {axis for axis in moved if not _same_place(before, left, axis)}
    for move in moves:
        if not elsewhere:
            return
        axes = listed(sorted(elsewhere), "and")
        stepped = elsewhere & set(move.axes) if move.frame == "incremental" else set()
        if stepped:
            yield Fault(
                move.line,
                f"{listed(sorted(stepped), 'and')} moves by a step from where the dress left it, and ends elsewhere "
                "than without the dress; go to a known place first.",
            )
            return
        if move.op != "rapid":
            yield Fault(
                move.line,
                f"this moves at a feed while {axes} may stand where the dress left it; go to a known place first.",
                certainty="unproven",
            )
            return
        elsewhere -= set(move.axes)


def _same_place(before: InForce, left: InForce, axis: str) -> bool:
    was, now = before.axes.get(axis), left.axes.get(axis)
    if was is None or now is None or was.at is None or now.at is None:
        return False
    return abs(was.at - now.at) <= TOLERANCE


def _under_way(case: Case, before: InForce, index: int, move: Move) -> Iterator[Fault]:
    """At the first feed after the block: the feed, the wheel and the coolant are the program's own."""
    said = case.reading.last_stated("feed", index)
    if said is not None and _inside(case, said.line) and said.value != before.get("feed"):
        yield Fault(
            move.line,
            f"this still moves at the feed of the dress, {case.feed(float(said.value))}; "
            + (f"it was {case.feed(float(before.get('feed')))} before it." if before.get("feed") else "state one."),
        )
    now = _at(case, index, lambda line: True)
    was_on, is_on = before.get("spindle", "off"), now.get("spindle", "off")
    if was_on != is_on and not _told_since(case, index):
        yield Fault(move.line, f"the spindle was {was_on} before the dress and is {is_on} when this moves at a feed.")
    elif is_on != "off" and before.get("speed") != now.get("speed") and not _told_since(case, index):
        yield Fault(
            move.line,
            f"the wheel still turns at the {now.get('speed')} rpm of the dress; it was {before.get('speed')}.",
        )
    elif is_on != "off":
        yield from _wait(case, index, move)
    if before.get("coolant") == "on" and now.get("coolant") == "off":
        yield Fault(move.line, "the coolant was on before the dress and is off when this moves at a feed.")


def _told_since(case: Case, index: int) -> bool:
    return any(isinstance(step, Spindle) for step in case.reading.steps[case.block.stop : index])


def _wait(case: Case, index: int, move: Move) -> Iterator[Fault]:
    """The wheel has had its time to come to the program's speed again."""
    steps = case.reading.steps[case.block.start : index]
    turns = [at for at, step in enumerate(steps) if isinstance(step, Spindle)]
    needed = float(case.known.machine.spindle.spin_up)
    if not turns:
        return
    got = sum(step.seconds for step in steps[turns[-1] :] if isinstance(step, Dwell))
    if got < needed - 1e-6:
        yield Fault(
            move.line,
            f"the spindle is given {show(got, 'time')} after the dress before this feed; spin_up is "
            f"{show(needed, 'time')}.",
            severity="warning",
            amount=needed - got,
        )
