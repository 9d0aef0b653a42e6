"""The feed of every axis is within what the axis can do."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.advice_feed import lower_feed
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.bounds.rounding import feed_slack
from gen.plan.step import Move


@rule("axis-feed", needs=("machine",), intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    axes = case.machine.axes
    plunging = {} if case.dress is None else {one.enters: case.of(one) for one in case.contacts.plunges}
    before: Move | None = None
    for index, move in case.moves:
        for letter in move.axes:
            if move.op == "rapid" or move.rate is None or letter not in axes:
                continue
            rate, most = move.rate * _part(before, move, letter), float(axes[letter].max_feed)
            if rate > most + feed_slack(case, most):
                yield Fault(
                    move.line,
                    f"axis {letter} would feed at {case.feed(rate)}; it can do {case.feed(most)}.",
                    tuple(lower_feed(plunging[index], most)) if index in plunging else (),
                    amount=rate / most,
                )
        before = move


def _part(before: Move | None, move: Move, letter: str) -> float:
    """The share of a straight move's rate that falls to one of its axes; all of it where that is not known."""
    known = before is not None and all(axis in before.to and axis in move.to for axis in move.axes)
    if before is None or not known or move.op == "arc":
        return 1.0
    way = {axis: move.to[axis] - before.to[axis] for axis in move.axes}
    whole = math.hypot(*way.values())
    return abs(way[letter]) / whole if whole else 1.0
