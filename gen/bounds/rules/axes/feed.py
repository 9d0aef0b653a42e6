"""The feed of every axis is within what the axis can do.

Why: An axis that cannot follow slows the feed down or stops with an alarm.
Example: U would feed at 700 mm/min; it can do 600 mm/min.
Helps: A lower wheel speed or a lower target, which both bring the feed down.
"""

import math
from collections.abc import Iterator
from functools import partial

from gen.bounds import changes
from gen.bounds.kit import MOVING, Change, Contacts, Dress, DressBlock, Found, Machine, Measure, Units, Wheel, bound
from gen.bounds.rounding import feed_slack
from gen.plan.step import Move


@bound("axis-feed", intents=MOVING)
def check(block: DressBlock, machine: Machine, dress: Dress | None, contacts: Contacts | None, units: Units) -> Found:
    axes, axis = machine.axes, machine.dresser.way
    met = {} if dress is None or contacts is None else {one.enters: dress.wheels[one.wheel] for one in contacts.plunges}
    before: Move | None = None
    for index, move in block.moves:
        for letter in move.axes:
            if move.op == "rapid" or move.rate is None or letter not in axes:
                continue
            rate, most = move.rate * _part(before, move, letter), float(axes[letter].max_feed)
            wheel = met.get(index)
            yield Measure(
                "axis-feed" if wheel is not None and letter == axis else "approach, axis",
                rate,
                most,
                "most",
                "feed",
                of=letter,
                stage="" if wheel is None else str(wheel.number or ""),
                slack=feed_slack(block, most),
                line=move.line,
                told=wheel is not None and letter == axis,
                said=partial(_said, units, letter, rate, most),
                helps=partial(_helps, wheel, most),
            )
        before = move


def _said(units: Units, letter: str, rate: float, most: float) -> str:
    return f"axis {letter} would feed at {units.feed(rate)}; it can do {units.feed(most)}."


def _helps(wheel: Wheel | None, most: float) -> Iterator[Change]:
    if wheel is not None:
        yield from changes.feed_within(wheel, most, "down")


def _part(before: Move | None, move: Move, letter: str) -> float:
    """The share of a straight move's rate that falls to one of its axes; all of it where that is not known."""
    known = before is not None and all(axis in before.to and axis in move.to for axis in move.axes)
    if before is None or not known or move.op == "arc":
        return 1.0
    way = {axis: move.to[axis] - before.to[axis] for axis in move.axes}
    whole = math.hypot(*way.values())
    return abs(way[letter]) / whole if whole else 1.0
