"""A block that only counts a part leaves the modes alone."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.registry import bound
from gen.bounds.wear import Wear
from gen.shop.dress import Dress


@bound(
    "part-counter",
    intents=("idle",),
    why="The host would go on in modes that only a dress puts back.",
    example="G91 stands in the branch that only counts.",
    helps="State modes behind the branch, where a dress is due.",
)
def check(block: DressBlock, dress: Dress, wear: Wear) -> Iterator[Fault]:
    for change in block.changes:
        yield Fault(change.line, "no dress is due, and yet a mode is changed; the host would go on with it.")
