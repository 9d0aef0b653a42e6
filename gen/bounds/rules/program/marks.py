"""Whether the lines of a block are those between its marks."""

from __future__ import annotations

from gen.bounds.block import DressBlock
from gen.bounds.case import Seal
from gen.plan.step import Coolant, Move, Spindle, Step


def marked(block: DressBlock, seals: tuple[Seal, ...]) -> bool:
    """Whether a heading stands at the block's first line, so that it is a block of ours."""
    return any(seal.line == block.first for seal in seals)


def does(step: Step) -> bool:
    """Whether ``step`` moves an axis, or switches spindle or coolant."""
    return isinstance(step, Move | Spindle | Coolant)
