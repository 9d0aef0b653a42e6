"""Between the last change of the spindle's speed and contact lies the whole spin_up."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.contacts import Contacts
from gen.bounds.registry import bound
from gen.bounds.rules.spindle.waits import too_short
from gen.plan.step import Spindle
from gen.shop.dress import Dress


@bound(
    "spindle-running",
    why="Until it has come to speed the wheel is dressed harder than planned; it may have to slow down as well.",
    example="The program waits 1 s for the spindle before the stick meets the wheel; spin_up is 3 s.",
    helps="A longer dwell behind the spindle's start.",
)
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Iterator[Fault]:
    needed = float(dress.machine.spindle.spin_up)
    for plunge in contacts.plunges:
        told = list(block.steps(Spindle, range(block.run.start, plunge.enters)))
        if not told or told[-1][1].direction != dress.machine.spindle.direction:
            continue
        # the same speed told again needs no new wait
        while len(told) > 1 and told[-2][1][1:] == told[-1][1][1:]:
            told.pop()
        yield from too_short(block, told[-1], plunge, needed, "the spindle", "spin_up")
