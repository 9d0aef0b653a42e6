"""A program or subprogram of ours has an end or return of its own."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import ANY, Expected, Seal
from gen.bounds.marks import marked
from gen.bounds.registry import bound
from gen.reader.reading import Reading
from gen.shop.machine import Machine


@bound(
    "one-piece",
    scope="program",
    intents=ANY,
    why="The control would run on into whatever follows in its memory.",
    example="M99 is missing behind a subprogram.",
    helps="Generate the program again.",
)
def check(
    reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected, machine: Machine
) -> Iterator[Fault]:
    if expected.edition.form == "block" or reading.end != "text" or not marked(block, seals):
        return
    said = f"this {expected.edition.form} has no end of its own, and the control would run on behind it."
    yield Fault(block.last_line, said)
