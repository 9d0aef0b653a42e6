"""Every axis word of the block is in machine coordinates, or in the dresser's own offset.

Why: A work offset differs from job to job; the dresser stands where it stands.
Example: The plunge is G1 U55.5 without the word for machine coordinates.
Helps: Write the machine-frame word on each move, or give the dresser its own offset in the machine file.
"""

from gen.base.errors import listed
from gen.bounds.kit import MOVING, DressBlock, Fault, Found, Machine, bound

_SAID = {"work": "the cycle's work offset", "incremental": "steps from where it stands"}


@bound("frame", intents=MOVING)
def check(block: DressBlock, machine: Machine) -> Found:
    dresser = machine.dresser
    throughout = "machine coordinates" if dresser.offset is None else f"the offset {dresser.offset.word}"
    for _, move in block.moves:
        if not dresser.in_its_frame(move):
            yield Fault(
                move.line,
                f"axis {listed(move.axes, 'and')} is moved in {_SAID.get(move.frame, move.frame)}; "
                f"a dress is in {throughout} throughout.",
            )
