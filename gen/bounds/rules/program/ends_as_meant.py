"""A program ends, and a subprogram returns to the program that called it."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import ANY, Expected, Seal
from gen.bounds.marks import is_alone
from gen.bounds.registry import bound
from gen.plan.step import Refuse
from gen.reader.reading import Reading
from gen.shop.machine import Machine


@bound(
    "one-piece",
    scope="program",
    intents=ANY,
    why="A control that meets a return in a main program begins it again, and so dresses until the stick is gone.",
    example="M99 stands where M30 should, in a program of an incremental slide.",
    helps="Generate the program again.",
)
def check(
    reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected, machine: Machine
) -> Iterator[Fault]:
    if not is_alone(reading, block, seals, expected) or any(True for _ in block.steps(Refuse)):
        return
    if expected.edition.form == "program" and reading.end == "return":
        said = "this program ends with a return, so that the control begins it again; it must end with a program end."
        yield Fault(block.last, said)
    elif expected.edition.form == "subprogram" and reading.end == "end":
        said = "this subprogram ends the program that called it; it must end with a return."
        yield Fault(block.last, said)
