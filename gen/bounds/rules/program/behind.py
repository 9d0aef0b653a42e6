"""What a grinding program does behind the dress in it."""

from collections.abc import Iterator

from gen.bounds.kit import DressBlock, Reading
from gen.plan.step import Move


def behind(block: DressBlock) -> Iterator[tuple[int, Move]]:
    """Every move behind the first visit, up to the next one, with its step number; none where it is never reached."""
    begin, steps = block.run.stop, block.reading.steps
    end = block.visits[1].start if len(block.visits) > 1 else len(steps)
    return block.reading.moves(range(begin, end)) if block.run else iter(())


def ground(block: DressBlock) -> tuple[int, Move] | None:
    """The first feed move behind the dress, with its step number."""
    return next(((index, move) for index, move in behind(block) if move.op != "rapid"), None)


def said_at(reading: Reading, group: str, step: int) -> str:
    """What the program has said of ``group`` by step number ``step``; empty for nothing."""
    said = reading.last_stated(group, step)
    return "" if said is None else said.value
