"""A state within the limits is not refused."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import MOVING, Expected
from gen.bounds.registry import bound
from gen.bounds.wear import Wear
from gen.plan.step import Refuse
from gen.shop.dress import Dress


@bound(
    "accept-only",
    always=True,
    intents=MOVING,
    why="A block that refuses a good wheel or stick is worked around at the machine.",
    example="The block refuses to dress a wheel of 110 mm, and the recipe is for 100 to 125 mm.",
    helps="Correct the guard, or generate the block again.",
)
def check(block: DressBlock, dress: Dress, wear: Wear, expected: Expected) -> Iterator[Fault]:
    for index, refusal in list(block.steps(Refuse))[:1] if expected.accepted else ():
        decided = [read.line for read in block.reads if read.step <= index]
        said = f'the block refuses to dress {wear.here}, which is within the limits ("{refusal.message}").'
        yield Fault(decided[-1] if decided else refusal.line, said)
