"""A program or subprogram that is one dress goes through it once."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import ANY, Expected, Seal
from gen.bounds.marks import is_alone
from gen.bounds.registry import bound
from gen.reader.reading import Reading
from gen.shop.machine import Machine


@bound(
    "one-piece",
    scope="program",
    intents=ANY,
    why="A second pass takes as much stick again, and none of its modes and positions were proven.",
    example="GOTO 70 behind the end mark leads back to the way to parked.",
    helps="Generate the program again; to dress more often, ask for more plunges or call it more often.",
)
def check(
    reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected, machine: Machine
) -> Iterator[Fault]:
    if is_alone(reading, block, seals, expected) and len(block.visits) > 1:
        line = reading.steps[block.visits[1].start].line
        yield Fault(line, f"this {expected.edition.form} is one dress, and here it begins it a second time.")
