"""At the first feed move behind the dress coolant flows if it did before."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.around import Around
from gen.bounds.case import MOVING
from gen.bounds.registry import bound


@bound(
    "host-continues",
    scope="program",
    intents=MOVING,
    why="A dry cut burns the part.",
    example="The coolant was on before the dress and is off when G1 X10 moves at a feed.",
    helps="Switch the coolant on again behind the dress; splice does that.",
)
def check(around: Around) -> Iterator[Fault]:
    if around.grinding is None:
        return
    if around.before.stated("coolant") == "on" and around.at_grinding("coolant") == "off":
        move = around.grinding[1]
        yield Fault(move.line, "the coolant was on before the dress and is off when this moves at a feed.")
