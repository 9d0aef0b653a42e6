"""A timed feeder is let out in a dress, and nowhere else in the program."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import ANY, Seal
from gen.bounds.feeding import feeder
from gen.bounds.registry import bound
from gen.plan.step import Aux
from gen.reader.reading import Reading
from gen.shop.dress import Dress


@bound(
    "one-piece",
    scope="program",
    always=True,
    intents=ANY,
    why="Outside the dress nobody knows where the wheel is, whether it turns, and who draws the stick back.",
    example="M71 G4 X5. stands before the begin mark.",
    helps="Take the word out; the dress lets the feeder out by itself.",
)
def check(reading: Reading, block: DressBlock, seals: tuple[Seal, ...], dress: Dress) -> Iterator[Fault]:
    if dress.dresser.axis is not None:
        return
    others = [range(seal.line, seal.last + 1) for seal in seals]
    for _, step in reading.by_kind(range(len(reading.steps))).get(Aux, []):
        if feeder(step, "feeder-on") and not block.has(step.line) and not any(step.line in one for one in others):
            yield Fault(step.line, "the feeder is let out here, outside the dress.")
