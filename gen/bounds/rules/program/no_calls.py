"""A marked block calls no subprogram."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import ANY, Seal
from gen.bounds.marks import marked
from gen.bounds.registry import bound
from gen.reader.reading import Reading
from gen.shop.machine import Machine


@bound(
    "one-piece",
    scope="program",
    intents=ANY,
    why="What a subprogram does is no part of the dress that was proven, and may change without the block.",
    example="M98 P9000 stands in the block.",
    helps="Call it before or after the dress.",
)
def check(reading: Reading, block: DressBlock, seals: tuple[Seal, ...], machine: Machine) -> Iterator[Fault]:
    for at, line in reading.calls if marked(block, seals) else ():
        if block.run.start <= at <= block.run.stop and block.has(line):
            yield Fault(line, "the block calls a subprogram; what that does is no part of the dress that was proven.")
