"""A prove-out writes no register."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.registry import bound
from gen.bounds.wear import Wear
from gen.plan.step import Write
from gen.shop.dress import Dress


@bound(
    "prove-out",
    intents=("prove-out",),
    why="The stick is as long as before, and no dress was made.",
    example="A prove-out writes register 502.",
    helps="Generate the prove-out again.",
)
def check(block: DressBlock, dress: Dress, wear: Wear) -> Iterator[Fault]:
    for _, write in block.steps(Write):
        yield Fault(write.line, f"a prove-out writes nothing, and this one writes register {write.register}.")
