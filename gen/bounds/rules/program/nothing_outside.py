"""A program that is one dress does nothing outside it."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import Expected, Seal
from gen.bounds.registry import bound
from gen.bounds.rules.program.marks import does, marked
from gen.reader.reading import Reading
from gen.shop.machine import Machine


@bound(
    "one-piece",
    scope="program",
    intents=("dress", "prove-out", "idle"),
    why="Nothing is proven of what stands there.",
    example="G0 X0 stands behind the block's last line.",
    helps="Generate the program again; what a shop wants around a dress belongs into a program that calls it.",
)
def nothing_outside(
    reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected, machine: Machine
) -> Iterator[Fault]:
    if expected.form != "program" or not marked(block, seals):
        return
    outside = next((step.line for step in reading.steps if does(step) and not block.has(step.line)), None)
    if outside is not None:
        yield Fault(outside, "this program is one dress, and here it acts outside it, where nothing is proven.")
