"""What the cycle's own coordinates count from stays as it was, behind the last move as well.

Why: The grinding program goes on in those coordinates after the dress.
Example: G10 L2 P1 X0 stands in the block, or G59 behind its last move.
Helps: Leave work offsets and shifts alone in the block.
"""

from gen.bounds.kit import MOVING, DressBlock, Expected, Fault, Found, Machine, bound


@bound("frame", always=True, intents=MOVING)
def check(block: DressBlock, machine: Machine, expected: Expected) -> Found:
    own, host = machine.dresser.offset, dict(expected.leaves or {})
    for change in block.changes:
        if change.group == "offset":
            said = f"the work offset {change.value} is given other values inside the block; a dress leaves it alone."
            yield Fault(change.line, said)
        elif change.group == "shift" and change.value == "set":
            yield Fault(change.line, "coordinates are shifted inside the block, and stay so for what comes after it.")
        elif own is None and change.group == "work_offset" and change.value != host.get("work_offset"):
            said = f"the work offset {change.value} is put in force inside the block; the cycle would go on in it."
            yield Fault(change.line, said)
