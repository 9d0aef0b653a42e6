"""Every feed move of the block runs at a feed that the block states."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import MOVING
from gen.bounds.registry import bound
from gen.bounds.rules.modes.stated_first import stated
from gen.shop.machine import Machine


@bound(
    "explicit-modes",
    intents=MOVING,
    why="A feed left from grinding may be many times what the wheel can take from the stick.",
    example="The plunge is G1 U55.5, and the last F stands before the block.",
    helps="Write an F in the block before its first feed move.",
)
def check(block: DressBlock, machine: Machine) -> Iterator[Fault]:
    for index, move in block.moves:
        if move.op != "rapid" and not stated(block, "feed", index, move.line):
            yield Fault(move.line, "this move is at a feed that the block has not stated.")
            break
