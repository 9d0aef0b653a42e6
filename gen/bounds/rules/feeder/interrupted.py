"""A timed feeder retracts by itself on hold, reset and power loss, and single block cannot stop it in the wheel."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import MOVING
from gen.bounds.registry import bound
from gen.shop.dress import Dress


@bound(
    "feeder",
    intents=MOVING,
    why="An interruption must not leave the stick in a turning wheel with no dwell to end it.",
    example='on_reset = "stays"',
    helps="Have the feeder piped so that it retracts, find out what it does, and say so in the machine file.",
)
def check(dress: Dress) -> Iterator[Fault]:
    said = list(dress.dresser.hazards())
    if said:
        yield Fault(None, " ".join(said))
