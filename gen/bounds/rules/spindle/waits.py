"""How long a program has waited."""

from __future__ import annotations

from gen.bounds.block import DressBlock
from gen.plan.step import Dwell


def waited(block: DressBlock, begin: int, end: int) -> float:
    """Seconds of dwell between the steps ``begin`` and ``end``; the time that motion takes is left out."""
    return sum(step.seconds for _, step in block.steps(Dwell, range(begin, end)))
