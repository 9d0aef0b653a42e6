"""A gap check writes no register and leaves the overrides free."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.registry import bound
from gen.bounds.wear import Wear
from gen.plan.step import Aux, Write
from gen.shop.dress import Dress


@bound(
    "gap-check",
    intents=("gap-check",),
    why="No stick is used and no dress is made, and a hand stays on the override.",
    example="A gap check writes register 502.",
    helps="Generate the gap check again.",
)
def check(block: DressBlock, dress: Dress, wear: Wear) -> Iterator[Fault]:
    for _, write in block.steps(Write):
        yield Fault(write.line, f"a gap check writes nothing, and this one writes register {write.register}.")
    for _, word in block.steps(Aux):
        if word.function == "override-lock":
            yield Fault(word.line, "a gap check leaves the overrides free; here they are locked.")
