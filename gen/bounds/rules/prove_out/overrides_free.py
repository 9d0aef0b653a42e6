"""A prove-out leaves the overrides free."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.registry import bound
from gen.bounds.wear import Wear
from gen.plan.step import Aux
from gen.shop.dress import Dress


@bound(
    "prove-out",
    intents=("prove-out",),
    why="It is run with the override turned down.",
    example="M49 stands in a prove-out.",
    helps="Generate the prove-out again.",
)
def check(block: DressBlock, dress: Dress, wear: Wear) -> Iterator[Fault]:
    for _, word in block.steps(Aux):
        if word.function == "override-lock":
            yield Fault(word.line, "a prove-out leaves the overrides free; here they are locked.")
