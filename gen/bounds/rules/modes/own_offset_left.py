"""The block does not end with the dresser's own offset in force.

Why: Whatever comes next would move in the dresser's coordinates.
Example: The block selects G59 for the dress and never the cycle's offset again.
Helps: Select the cycle's own offset behind the last move.
"""

from gen.bounds.kit import MOVING, DressBlock, Fault, Found, Machine, bound


@bound("frame", intents=MOVING)
def check(block: DressBlock, machine: Machine) -> Found:
    own = machine.dresser.offset
    selected = block.stated("work_offset")
    if own is not None and selected and selected[-1].value == own.word:
        yield Fault(selected[-1].line, f"the block ends with the dresser's own offset {own.word} still in force.")
