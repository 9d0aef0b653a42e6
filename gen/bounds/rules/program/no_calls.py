"""A marked block calls no subprogram.

Why: What a subprogram does is no part of the dress that was proven, and may change without the block.
Example: M98 P9000 stands in the block.
Helps: Call it before or after the dress.
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Marks, Reading, bound


@bound("one-piece", scope="program", intents=ANY, needs="machine")
def check(reading: Reading, block: DressBlock, marks: Marks) -> Found:
    for at, line in reading.calls if marks.ours else ():
        if block.run.start <= at <= block.run.stop and block.has(line):
            yield Fault(line, "the block calls a subprogram; what that does is no part of the dress that was proven.")
