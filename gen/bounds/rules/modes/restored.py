"""The block leaves the modes that whatever comes after it expects."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import MOVING, Expected
from gen.bounds.registry import bound
from gen.plan.step import ModeChange
from gen.reader.reading import Reading


@bound(
    "modes-restored",
    intents=MOVING,
    why="A grinding program that goes on in inches, in another plane or by steps ends in the fixture.",
    example="The block ends in G20, and the machine's programs are in G21.",
    helps="Put the modes of [host] back at the end of the block; splice puts back the host's own.",
)
def check(reading: Reading, block: DressBlock, expected: Expected) -> Iterator[Fault]:
    if not expected.leaves or not block.run:
        return
    last = _left(reading, block, expected.leaves)
    for group, meaning in expected.leaves.items():
        left, said = last.get(group), group.replace("_", " ")
        if left is None:
            yield Fault(
                block.last_line, f"nothing says what {said} the block leaves; {meaning} is expected afterwards."
            )
        elif left.value != meaning:
            yield Fault(left.line, f"{said} is left at {left.value}; {meaning} is expected after the block.")


def _left(reading: Reading, block: DressBlock, groups: Iterable[str]) -> dict[str, ModeChange]:
    """The last statement of each of ``groups`` before the block is over."""
    found: dict[str, ModeChange] = {}
    for change in reading.stated(list(groups)):
        if change.step > block.run.stop:
            break
        if change.step < block.run.stop or block.has(change.line):
            found[change.group] = change
    return found
