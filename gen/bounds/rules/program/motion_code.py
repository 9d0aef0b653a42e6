"""A host's line of bare axis words behind the dress moves as it did without the dress.

Why: A line that took G1 from before would run as a rapid through the part.
Example: X10 stands behind the dress; it was a feed move before and is a rapid after it.
Helps: Write the motion code into the first line behind the dress; splice does that.
"""

from gen.bounds.kit import MOVING, DressBlock, Fault, Found, Reading, bound
from gen.bounds.rules.program.behind import behind


@bound("host-continues", scope="program", intents=MOVING, needs="states")
def check(reading: Reading, block: DressBlock) -> Found:
    first = next(behind(block), None)
    if first is None:
        return
    index, move = first
    was, now = block.before.stated("motion"), move.op
    said = reading.last_stated("motion", index)
    inherits = said is not None and block.has(said.line)
    if inherits and was and not was.startswith(now):
        yield Fault(
            move.line,
            f"this line has no motion code of its own; it was a {was} move before the dress and is a {now} after it.",
        )
