"""The other axes go to each wheel, and out again, by its points and places in their order, the lateral axis last.

Why: The order is the one in which the way was found free when the machine was set up.
Example: Z goes to the wheel before X has gone to its place.
Helps: Keep the order of dresser.at in the machine file, and of wheel.at and wheel.via in the recipe.
"""

from collections.abc import Sequence
from typing import NamedTuple

from gen.bounds.kit import MOVING, Contacts, Dress, DressBlock, Expected, Fault, Found, Units, bound, stands_at
from gen.bounds.rules.path.meant import Meant, meant
from gen.plan.step import Move, Spindle, Stop
from gen.shop.ways import Waypoint


class _Made(NamedTuple):
    """Step number ``step`` at ``line`` moves ``axis`` to ``place``, mm or degrees; None: nobody knows where."""

    step: int
    line: int
    axis: str
    place: float | None


@bound("approach-path", intents=MOVING)
def check(block: DressBlock, dress: Dress, contacts: Contacts, expected: Expected, units: Units) -> Found:
    dresser, ways = dress.dresser, dress.ways
    made = [
        _Made(index, move.line, move.axes[0], move.to.get(move.axes[0]))
        for index, move in block.moves
        if move.axes != (dresser.way,)
    ]
    plunges = meant(block, dress, contacts, expected.edition.purpose)
    if not plunges:
        until = _first_advance(block, dresser.way)
        yield from _followed(ways.to[0], [one for one in made if one.step < until], units, "before the first plunge")
        rest = [one for one in made if one.step > until]
    before: Meant | None = None
    for plunge in plunges:
        begin = block.run.start if before is None else before.step
        between = [one for one in made if begin <= one.step < plunge.step]
        if before is None or plunge.bite.wheel != before.bite.wheel:
            into = "the first plunge" if before is None else f"the plunge into wheel {plunge.bite.wheel + 1}"
            yield from _followed(ways.to[plunge.bite.wheel], between, units, f"before {into}", plunge)
        else:
            yield from _left(dress, between)
        before = plunge
    if before is not None:
        rest = [one for one in made if one.step > before.step]
    yield from _out(dress, block, rest, units)


def _followed(
    way: Sequence[Waypoint], made: Sequence[_Made], units: Units, when: str, plunge: Meant | None = None
) -> Found:
    """Faults where ``made`` are not the moves of ``way``; with a ``plunge`` to come they must all be there."""
    for one, due in zip(made, way, strict=False):
        if one.axis != due.axis:
            axes = ", ".join(point.axis for point in way)
            yield Fault(one.line, f"axis {one.axis} moves where axis {due.axis} is due; the order is {axes}.")
            return
        if due.place is not None and not stands_at(due.place, one.place):
            at, wanted = units.place(one.axis, one.place), units.place(due.axis, float(due.place))
            yield Fault(one.line, f"axis {one.axis} goes to {at} {when}, where {wanted} is due.")
    if len(made) < len(way) and plunge is not None:
        late = way[len(made)].axis
        said = f"{plunge.said} before axis {late} was brought to its place."
        yield Fault(plunge.line, said, amount=1e9)
    elif len(made) > len(way):
        extra = made[len(way)]
        yield Fault(extra.line, f"axis {extra.axis} moves once more {when}.")


def _left(dress: Dress, made: Sequence[_Made]) -> Found:
    """Between the plunges into one wheel, and behind the last one of a dress without a way out, only lanes change."""
    for one in made:
        if one.axis in dress.ways.axes and one.axis != dress.dresser.lateral_axis:
            yield Fault(one.line, f"axis {one.axis} is moved off its place between plunges.")


def _out(dress: Dress, block: DressBlock, made: Sequence[_Made], units: Units) -> Found:
    way = dress.ways.out
    if not way:
        yield from _left(dress, made)
        return
    last = made[-len(way) :]
    yield from _left(dress, made[: -len(way)])
    yield from _followed(way, last, units, "on the way out")
    if len(last) < len(way):
        missing = way[len(last)].axis
        yield Fault(block.last_line, f"the block ends before axis {missing} has gone out by the wheel's points.")


def _first_advance(block: DressBlock, axis: str) -> int:
    """Where the plunge axis moves for the second time; the first was to park, or to draw back.

    Where no axis plunges, the first stop after the spindle has started stands for it.
    """
    advances = [index for index, move in block.steps(Move) if axis in move.axes]
    if len(advances) > 1:
        return advances[1]
    turning = next((index for index, _ in block.steps(Spindle)), block.run.stop)
    return next((index for index, _ in block.steps(Stop) if index > turning), block.run.stop)
