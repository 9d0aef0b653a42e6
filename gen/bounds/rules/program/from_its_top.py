"""The program comes into the block at its top, every time.

Why: The modes, the way to parked and the guards stand at the top.
Example: GOTO 70 leads to the line of the plunge.
Helps: Jump to the block's first line.
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Reading, bound


@bound("one-piece", scope="program", intents=ANY, needs="machine")
def check(reading: Reading, block: DressBlock) -> Found:
    modes = block.stated_on_entry(block.run) if len(block.visits) > 1 else []
    for visit in block.visits[1:]:
        line = reading.steps[visit.start].line
        if line != reading.steps[block.run.start].line or block.stated_on_entry(visit) != modes:
            yield Fault(line, "the program comes into the middle of the block; it must begin at its top.")
