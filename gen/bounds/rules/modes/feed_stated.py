"""Every feed move of the block runs at a feed that the block states.

Why: A feed left from grinding may be many times what the wheel can take from the stick.
Example: The plunge is G1 U55.5, and the last F stands before the block.
Helps: Write an F in the block before its first feed move.
"""

from gen.bounds.kit import MOVING, DressBlock, Fault, Found, bound
from gen.bounds.rules.modes.stated_first import stated


@bound("explicit-modes", intents=MOVING, needs="machine")
def check(block: DressBlock) -> Found:
    for index, move in block.moves:
        if move.op != "rapid" and not stated(block, "feed", index, move.line):
            yield Fault(move.line, "this move is at a feed that the block has not stated.")
            break
