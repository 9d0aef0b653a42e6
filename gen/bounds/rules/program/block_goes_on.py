"""A block does not end the program that it stands in."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import ANY, Expected, Seal
from gen.bounds.marks import marked
from gen.bounds.registry import bound
from gen.plan.step import End
from gen.reader.reading import Reading
from gen.shop.machine import Machine


@bound(
    "one-piece",
    scope="program",
    intents=ANY,
    why="The part would be left half ground.",
    example="M30 stands at the end of a block.",
    helps="Take the end out, or generate it as a program.",
)
def check(
    reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected, machine: Machine
) -> Iterator[Fault]:
    steps = reading.steps
    if expected.edition.form == "block" and marked(block, seals) and steps:
        last = steps[-1]
        # with the stick used up at a later passage its own guard stops it
        if isinstance(last, End) and block.has(last.line) and reading.end != "refused":
            yield Fault(last.line, "the heading calls this a block, and the program ends here, in the midst of it.")
