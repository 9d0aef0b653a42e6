"""A prove-out never lets a timed feeder out."""

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
    why="Nothing holds a feeder short of the wheel.",
    example="M71 stands in a prove-out.",
    helps="Generate the prove-out again; it is run with the feeder's air off.",
)
def check(block: DressBlock, dress: Dress, wear: Wear) -> Iterator[Fault]:
    for _, word in block.steps(Aux):
        if word.function == "feeder-on":
            yield Fault(word.line, "the feeder is let out; a prove-out never switches it on.")
