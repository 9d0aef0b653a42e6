"""A block in numbers, or one of a feeder whose stand-off grows, is reached once in a program."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.contacts import Contacts
from gen.bounds.registry import bound
from gen.bounds.units import Units, times_told
from gen.reader.reading import Reading
from gen.shop.dress import Dress


@bound(
    "right-once",
    why="The second time the stick is shorter than the numbers say, or the stand-off longer.",
    example="A loop of the host reaches the block twice.",
    helps="Use registers, a self-adjusting feeder or a slide set to a stand-off.",
)
def check(reading: Reading, block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Iterator[Fault]:
    count = len(block.visits)
    if count < 2:
        return
    again = reading.steps[block.visits[1].start].line
    valve = dress.dresser.valve
    if valve is not None and not valve.self_adjusting:
        yield Fault(
            again,
            f"the block is reached {times_told(count)}; after a dress the stand-off is "
            f"{units.mm(float(dress.stick_per_dress))} more, and has to be set anew.",
        )
    elif dress.dresser.needs_length and not block.reads:
        yield Fault(
            again,
            f"the block is reached {times_told(count)}; worked out in numbers it is right once, "
            "since the stick is shorter afterwards.",
        )
