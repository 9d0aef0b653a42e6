"""Whether the lines of a block are those between its marks, and which lines around it are its own program's."""

from __future__ import annotations

from collections.abc import Callable

from gen.bounds.block import DressBlock
from gen.bounds.case import Expected, Seal
from gen.reader.reading import Reading

Owns = Callable[[int, int], bool]
"""Whether the line given first, run before the step numbered second, is the program's own, outside its marks."""


def marked(block: DressBlock, seals: tuple[Seal, ...]) -> bool:
    """Whether a heading stands at the block's first line, so that it is a block of ours."""
    return any(seal.line == block.first for seal in seals)


def is_alone(reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected) -> bool:
    """Whether the text is a program or subprogram of ours and nothing else: one dress, and nobody here calls it."""
    return _is_one_dress(block, seals, expected) and _call(reading, block, expected) is None


def own_lines(reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected) -> Owns | None:
    """Which lines outside the marks are the program's own; None where it is no program or subprogram of ours.

    All of them, unless the program that calls a subprogram stands in the same text, before it or behind it.
    """
    if not _is_one_dress(block, seals, expected):
        return None
    call = _call(reading, block, expected)
    if call is None:
        return lambda line, step: not block.has(line)
    begins = block.run.start
    if call < block.first:
        return lambda line, step: line > block.last or (step <= begins and call < line < block.first)
    main = min((place for place in (*_first_lines(reading), call) if place > block.last), default=call)
    return lambda line, step: line < main and not block.has(line)


def _is_one_dress(block: DressBlock, seals: tuple[Seal, ...], expected: Expected) -> bool:
    return expected.edition.form != "block" and len(seals) == 1 and marked(block, seals)


def _call(reading: Reading, block: DressBlock, expected: Expected) -> int | None:
    """The line outside the block that last called before it was reached."""
    if expected.edition.form != "subprogram":
        return None
    calls = [line for at, line in reading.calls if at <= block.run.start and not block.has(line)]
    return calls[-1] if calls else None


def _first_lines(reading: Reading) -> list[int]:
    """The lines of the first things that the text does."""
    return [events[0].line for events in (reading.steps, reading.changes, reading.reads) if len(events)]
