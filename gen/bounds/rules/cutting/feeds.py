"""The feeds at which a plunge goes into the stick."""

from collections.abc import Iterator

from gen.bounds.kit import Dress, DressBlock, Plunge
from gen.plan.step import Move


def feeds(block: DressBlock, dress: Dress, plunge: Plunge) -> Iterator[tuple[int, float]]:
    """Line and rate, mm/min, of every feed with which ``plunge`` goes into the stick."""
    if dress.dresser.axis is None:
        if plunge.feed:
            yield plunge.line, plunge.feed
        return
    stop = block.run.stop if plunge.leaves is None else plunge.leaves
    for _, move in block.steps(Move, range(plunge.enters, stop)):
        if move.op != "rapid" and move.rate:
            yield move.line, move.rate
