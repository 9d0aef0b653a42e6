"""At the first feed move behind the dress coolant flows if it did before.

Why: A dry cut burns the part.
Example: The coolant was on before the dress and is off when G1 X10 moves at a feed.
Helps: Switch the coolant on again behind the dress; splice does that.
"""

from gen.bounds.kit import MOVING, DressBlock, Fault, Found, Reading, bound
from gen.bounds.rules.program.behind import ground, said_at


@bound("host-continues", scope="program", intents=MOVING, needs="states")
def check(reading: Reading, block: DressBlock) -> Found:
    cut = ground(block)
    if cut is None:
        return
    index, move = cut
    if block.before.stated("coolant") == "on" and said_at(reading, "coolant", index) == "off":
        yield Fault(move.line, "the coolant was on before the dress and is off when this moves at a feed.")
