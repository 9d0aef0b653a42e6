"""The block leaves the modes that whatever comes after it expects.

Why: A grinding program that goes on in inches, in another plane or by steps ends in the fixture.
Example: The block ends in G20, and the machine's programs are in G21.
Helps: Put the modes of [host] back at the end of the block; splice puts back the host's own.
"""

from gen.bounds.kit import MOVING, DressBlock, Expected, Fault, Found, bound
from gen.reader.standing import ACTIVE_SHIFT


@bound("modes-restored", intents=(*MOVING, "left-out"))
def check(block: DressBlock, expected: Expected) -> Found:
    if not expected.leaves or not block.run:
        return
    left = block.left
    for group, meaning in expected.leaves.items():
        value, said = left.stated(group), group.replace("_", " ")
        if not value:
            yield Fault(
                block.last_line, f"nothing says what {said} the block leaves; {meaning} is expected afterwards."
            )
        elif value != meaning and not {value, meaning} <= set(ACTIVE_SHIFT):
            yield Fault(left.lines[group], f"{said} is left at {value}; {meaning} is expected after the block.")
